#include "read/beside.hpp"

#include <optional>

namespace offnominal::files {

Text Beside::open(const std::string& path, Budget& budget) const {
    if (folder_ != nullptr) {
        check_beside(*folder_, path);
        return Text::from_file(path, budget);
    }
    // A program in C would see what stands before the zero byte: another text than the one that is named.
    if (path.find('\0') != std::string::npos)
        throw InputError({path}, "a zero byte in the name of a text", {}, "a name that the program has a text by");
    const std::optional<std::string> text = (*text_)(path);
    if (!text) throw MissingFile({path}, "there is no such text", {}, "a name that the program has a text by");
    return Text::from_string(*text, path, budget);
}

}  // namespace offnominal::files
