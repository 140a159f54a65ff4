/// @file
/// The text of one file, checked byte by byte before anything parses it, and places in it.
#pragma once

#include <istream>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/errors.hpp"
#include "text/budget.hpp"

namespace offnominal::files {

/// Text that is known to be UTF-8 without control characters, not empty and within limits. Lines end with LF or CRLF.
class Text {
   public:
    /// @throws InputError if the file cannot be read or is not such a text
    [[nodiscard]] static Text from_file(const std::string& path, Budget& budget);
    /// @param name  stands for the file in messages
    [[nodiscard]] static Text from_string(std::string_view bytes, const std::string& name, Budget& budget);

    [[nodiscard]] const std::string& name() const noexcept { return name_; }
    [[nodiscard]] const std::string& bytes() const noexcept { return bytes_; }
    [[nodiscard]] int lines() const noexcept { return static_cast<int>(starts_.size()); }
    /// Line `number` (from 1) without its end; empty past the last.
    [[nodiscard]] std::string_view line(int number) const noexcept;
    /// The place of byte `byte` (from 0) of line `line`: columns count characters, not bytes.
    [[nodiscard]] InputError::Place place(int line, int byte) const;

   private:
    Text(std::string bytes, std::string name, Budget& budget);
    void check() const;
    [[noreturn]] void refuse(std::size_t position, const std::string& problem, const std::string& text) const;

    std::string bytes_;
    std::string name_;
    std::vector<std::size_t> starts_;  ///< where each line begins
};

/// The bytes of a stream; at most one more than `limit`, by which a caller sees that they are too many.
/// @param name  stands for it in messages. @throws InputError if it cannot be read
[[nodiscard]] std::string stream_bytes(std::istream& in, const std::string& name, std::size_t limit);
/// The same of a file.
/// @throws InputError if the file cannot be read
[[nodiscard]] std::string file_bytes(const std::string& path, std::size_t limit);

/// Where the files stand that a file names.
[[nodiscard]] std::string folder_of(const std::string& path);
/// A file there that is named; empty where the name leads elsewhere, or is longer than any.
[[nodiscard]] std::string path_beside(const std::string& folder, const std::string& file);
/// Whoever wrote the text that names a file must not have another one read: no link, pipe or device, and nothing that a
/// link to a folder leads to. @throws InputError
void check_beside(const std::string& folder, const std::string& path);

/// Whether a text holds a character that shows nothing, tab and line end apart, or is not UTF-8.
[[nodiscard]] bool has_control(std::string_view text);

/// `text` without blanks at either end.
[[nodiscard]] std::string_view trimmed(std::string_view text);

using detail::shortened;

}  // namespace offnominal::files
