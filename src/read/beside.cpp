#include "read/beside.hpp"

#include <optional>

namespace offnominal::files {

Text Beside::open(const std::string& path, Budget& budget) const {
    if (folder_ != nullptr) {
        check_beside(*folder_, path);
        return Text::from_file(path, budget);
    }
    const std::optional<std::string> text = (*text_)(path);
    if (!text) throw MissingFile({path}, "there is no such text", {}, "a name that the program has a text by");
    return Text::from_string(*text, path, budget);
}

}  // namespace offnominal::files
