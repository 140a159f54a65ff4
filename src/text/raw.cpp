#include "text/raw.hpp"

#include <algorithm>
#include <boost/locale/utf.hpp>
#include <cstdio>
#include <filesystem>
#include <fstream>

namespace offnominal::files {
namespace {

using Utf8 = boost::locale::utf::utf_traits<char>;
using CodePoint = boost::locale::utf::code_point;

/// Characters that show nothing: controls other than tab and line end, noncharacters, byte order marks, and the
/// direction marks by which a line can be made to look different from what it says.
bool is_control(CodePoint c) {
    return (c < 0x20 && c != '\t' && c != '\n' && c != '\r') || (c >= 0x7f && c < 0xa0) || c == 0xfeff ||
           (c & 0xfffe) == 0xfffe || (c >= 0x202a && c <= 0x202e) || (c >= 0x2066 && c <= 0x2069);
}

std::string hexadecimal(const char* format, unsigned value) {
    char out[24];
    std::snprintf(out, sizeof out, format, value);
    return out;
}

}  // namespace

std::string folder_of(const std::string& path) {
    const std::size_t slash = path.find_last_of('/');
    return slash == std::string::npos ? std::string(".") : path.substr(0, std::max<std::size_t>(slash, 1));
}

std::string path_beside(const std::string& folder, const std::string& file) {
    constexpr std::size_t longest = 255;  // a page keeps it for every node
    const bool elsewhere = file.empty() || file.size() > longest || file.front() == '/' ||
                           file.find("..") != std::string::npos || file.find('\\') != std::string::npos;
    if (elsewhere) return {};
    return folder == "." ? file : folder + "/" + file;
}

void check_beside(const std::string& folder, const std::string& path) {
    namespace fs = std::filesystem;
    std::error_code unknown;
    const fs::file_status status = fs::symlink_status(path, unknown);
    if (!fs::exists(status)) return;  // who opens it says so
    if (!fs::is_regular_file(status))
        throw InputError({path}, "not a plain file", {}, "a file, not a link to one, nor a pipe or a device");
    const fs::path whole = fs::canonical(path, unknown).lexically_relative(fs::canonical(folder, unknown));
    if (whole.empty() || *whole.begin() == "..")
        throw InputError({path}, "a link leads to another folder", {}, "a file beside the one that names it");
}

std::string file_bytes(const std::string& path, std::size_t limit) {
    // The system would open what stands before the zero byte: another file than the one that is named.
    if (path.find('\0') != std::string::npos)
        throw InputError({path}, "a zero byte in the path of a file", {}, "the path of a readable file");
    std::ifstream in(path, std::ios::binary);
    if (!in) {
        const char* const accepted = "the path of a readable file";
        std::error_code unknown;
        if (!std::filesystem::exists(path, unknown) && !unknown)
            throw MissingFile({path}, "there is no such file", {}, accepted);
        throw InputError({path}, "the file cannot be opened", {}, accepted);
    }
    return stream_bytes(in, path, limit);
}

std::string stream_bytes(std::istream& in, const std::string& name, std::size_t limit) {
    std::string bytes;
    while (in && bytes.size() <= limit) {
        const std::size_t had = bytes.size(), chunk = std::min<std::size_t>(1u << 16, limit + 1 - had);
        bytes.resize(had + chunk);
        in.read(bytes.data() + had, static_cast<std::streamsize>(chunk));
        bytes.resize(had + static_cast<std::size_t>(in.gcount()));
    }
    if (in.bad()) throw InputError({name}, "the file cannot be read", {}, "the path of a readable file");
    return bytes;
}

bool has_control(std::string_view text) {
    for (const char *p = text.data(), *end = p + text.size(); p != end;)
        if (const CodePoint c = Utf8::decode(p, end);
            !boost::locale::utf::is_valid_codepoint(c) || is_control(c) || c == '\r')
            return true;
    return false;
}

std::string_view trimmed(std::string_view text) {
    const std::size_t first = text.find_first_not_of(" \t\r\n");
    if (first == std::string_view::npos) return text.substr(text.size());
    return text.substr(first, text.find_last_not_of(" \t\r\n") - first + 1);
}

Text::Text(std::string bytes, std::string name, Budget& budget) : bytes_(std::move(bytes)), name_(std::move(name)) {
    const Limits& limits = budget.limits();
    if (bytes_.size() > limits.file_bytes) budget.refuse(&Limits::file_bytes, {name_});
    if (!budget.take(&Limits::all_bytes, bytes_.size())) budget.refuse(&Limits::all_bytes, {name_});
    if (static_cast<std::size_t>(std::count(bytes_.begin(), bytes_.end(), '\n')) >= limits.lines)
        budget.refuse(&Limits::lines, {name_});
    if (bytes_.compare(0, 3, "\xef\xbb\xbf") == 0) bytes_.erase(0, 3);  // the mark some editors put before UTF-8
    starts_.push_back(0);
    for (std::size_t i = 0; i < bytes_.size(); ++i)
        if (bytes_[i] == '\n') starts_.push_back(i + 1);
    check();
}

Text Text::from_string(std::string_view bytes, const std::string& name, Budget& budget) {
    return Text(std::string(bytes.substr(0, budget.limits().file_bytes + 1)), name, budget);
}

Text Text::from_file(const std::string& path, Budget& budget) {
    return Text(file_bytes(path, budget.limits().file_bytes), path, budget);
}

void Text::refuse(std::size_t position, const std::string& problem, const std::string& text) const {
    const auto line = std::upper_bound(starts_.begin(), starts_.end(), position) - starts_.begin();
    const std::size_t start = starts_[static_cast<std::size_t>(line - 1)];
    throw InputError(place(static_cast<int>(line), static_cast<int>(position - start)), problem, text,
                     "plain text, saved as UTF-8");
}

void Text::check() const {
    if (bytes_.starts_with("\xff\xfe") || bytes_.starts_with("\xfe\xff"))
        throw InputError({name_}, "UTF-16 text", {}, "plain text, saved as UTF-8");
    if (const std::size_t zero = bytes_.find('\0'); zero != std::string::npos)
        refuse(zero, "a binary file, not text", "byte 0x00");
    const char* const begin = bytes_.data();
    const char* const end = begin + bytes_.size();
    bool something = false;
    for (const char* p = begin; p != end;) {
        const auto position = static_cast<std::size_t>(p - begin);
        const auto byte = static_cast<unsigned char>(*p);
        const CodePoint c = Utf8::decode(p, end);
        if (!boost::locale::utf::is_valid_codepoint(c))
            refuse(position, "not valid UTF-8", hexadecimal("byte 0x%02x", byte));
        if (is_control(c) || (c == '\r' && (p == end || *p != '\n')))
            refuse(position, "a control character", hexadecimal("U+%04X", c));
        something = something || !(c == ' ' || c == '\t' || c == '\r' || c == '\n');
    }
    if (!something) throw InputError({name_}, "the file is empty", {}, "a file that begins with 'offnominal: '");
}

std::string_view Text::line(int number) const noexcept {
    if (number < 1 || number > lines()) return {};
    const std::size_t start = starts_[static_cast<std::size_t>(number - 1)];
    std::size_t end = number < lines() ? starts_[static_cast<std::size_t>(number)] - 1 : bytes_.size();
    if (end > start && bytes_[end - 1] == '\r') --end;
    return std::string_view(bytes_).substr(start, end - start);
}

InputError::Place Text::place(int number, int byte) const {
    int column = 1;
    for (const char c : line(number).substr(0, static_cast<std::size_t>(std::max(byte, 0))))
        if ((static_cast<unsigned char>(c) & 0xc0) != 0x80) ++column;
    // Past the end of the line (the caller's byte may be the line end itself) the text cannot say more.
    return {name_, std::max(number, 1), column};
}

}  // namespace offnominal::files
