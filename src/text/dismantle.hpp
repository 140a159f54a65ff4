/// @file
/// Takes a tree of the JSON library apart without asking for memory. The library's own destructor asks for some, and
/// where there is none it ends the program.
#pragma once

#include <nlohmann/json.hpp>

namespace offnominal::files {

inline void dismantle(nlohmann::ordered_json& tree) noexcept {
    if (tree.is_array()) {
        auto& list = tree.get_ref<nlohmann::ordered_json::array_t&>();
        for (auto& one : list) dismantle(one);
        list.clear();
    } else if (tree.is_object()) {
        auto& object = tree.get_ref<nlohmann::ordered_json::object_t&>();
        for (auto& pair : object) dismantle(pair.second);
        object.clear();
    }
}

/// A tree that is taken apart so when its holder ends.
struct Dismantled {
    nlohmann::ordered_json& tree;

    ~Dismantled() { dismantle(tree); }
};

}  // namespace offnominal::files
