/// @file
/// What a suspect's correction changes in the text it was typed in: which words of which lines.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/audit.hpp"

namespace offnominal::detail {

/// The words of a line of a table: parted by commas where there are some, else by blanks; a `#` ends them.
struct Word {
    std::size_t begin = 0, end = 0;
};
[[nodiscard]] inline std::vector<Word> words_of_line(std::string_view line) {
    line = line.substr(0, line.find('#'));
    const bool csv = line.find(',') != std::string_view::npos;
    const auto blank = [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '"'; };
    std::vector<Word> out;
    for (std::size_t i = 0; i <= line.size();) {
        std::size_t end = i;
        if (csv) {
            end = std::min(line.find(',', i), line.size());
        } else {
            while (i < line.size() && blank(line[i])) ++i;
            if (i == line.size()) break;
            end = i;
            while (end < line.size() && !blank(line[end])) ++end;
        }
        Word word{i, end};
        while (word.begin < word.end && blank(line[word.begin])) ++word.begin;
        while (word.end > word.begin && blank(line[word.end - 1])) --word.end;
        out.push_back(word);
        i = end + 1;
    }
    return out;
}

/// A text as lines that can be changed.
class EditedText {
   public:
    EditedText(std::string_view text, const std::string& file) : file_(file) {
        for (std::size_t i = 0; i <= text.size();) {
            const std::size_t end = std::min(text.find('\n', i), text.size());
            lines_.emplace_back(text.substr(i, end - i));
            i = end + 1;
        }
    }
    /// @throws InputError where the text is not the one that was audited
    void edit(const Edit& one) {
        const std::size_t head = head_of(one), at = one.unit ? head + 1 : static_cast<std::size_t>(one.line) - 1;
        const std::size_t column = column_of(head, one.column);
        const std::vector<Word> words = at < lines_.size() ? words_of_line(lines_[at]) : std::vector<Word>();
        if (column >= words.size()) refuse(one);
        const auto [begin, end] = words[column];
        if (lines_[at].substr(begin, end - begin) != one.typed) refuse(one);
        lines_[at].replace(begin, end - begin, one.meant);
    }
    [[nodiscard]] std::string text() const {
        std::string out;
        for (std::size_t i = 0; i < lines_.size(); ++i) out += (i > 0 ? "\n" : "") + lines_[i];
        return out;
    }

   private:
    /// The names of the columns stand above the row.
    [[nodiscard]] std::size_t head_of(const Edit& one) const {
        for (auto i = static_cast<std::size_t>(std::max(one.line, 1)) - 1;
             one.line > 0 && i < lines_.size() && i-- > 0;)
            if (column_of(i, one.column) != std::string::npos) return i;
        refuse(one);
    }
    [[nodiscard]] std::size_t column_of(std::size_t line, const std::string& name) const {
        const std::vector<Word> words = words_of_line(lines_[line]);
        for (std::size_t i = 0; i < words.size(); ++i)
            if (std::string_view(lines_[line]).substr(words[i].begin, words[i].end - words[i].begin) == name) return i;
        return std::string::npos;
    }
    [[noreturn]] void refuse(const Edit& one) const {
        throw InputError({file_, one.line, 0},
                         "not the text that was audited: no " + one.column + " " + one.typed + " here", {},
                         "the text as it was when it was audited");
    }

    std::string file_;
    std::vector<std::string> lines_;
};

}  // namespace offnominal::detail
