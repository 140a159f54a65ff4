/// @file
/// The files that a text names, wherever they are.
#pragma once

#include <string>

#include "offnominal/files.hpp"
#include "text/raw.hpp"

namespace offnominal::files {

/// Where the files are that a text names.
class Beside {
   public:
    /// In a folder; empty: nowhere.
    explicit Beside(const std::string& folder) : folder_(&folder) {}
    explicit Beside(const TextBeside& text) : text_(&text) {}

    [[nodiscard]] bool none() const noexcept { return folder_ != nullptr ? folder_->empty() : !*text_; }
    /// Where the file of that name is; empty where the name leads elsewhere.
    [[nodiscard]] std::string path(const std::string& name) const {
        return path_beside(folder_ != nullptr ? *folder_ : ".", name);
    }
    /// What is there. @throws InputError
    [[nodiscard]] Text open(const std::string& path, Budget& budget) const;

   private:
    const std::string* folder_ = nullptr;
    const TextBeside* text_ = nullptr;
};

}  // namespace offnominal::files
