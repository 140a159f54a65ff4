// The cooling pages of a system file without building them: what an audit needs of a page that a table would refuse.
#include <algorithm>

#include "basis.hpp"
#include "offnominal/files.hpp"
#include "offnominal/standard205.hpp"
#include "page.hpp"

namespace offnominal {
namespace files {
namespace {

std::string folder_of(const std::string& path) {
    const std::size_t slash = path.find_last_of('/');
    return slash == std::string::npos ? std::string() : path.substr(0, std::max<std::size_t>(slash, 1));
}

/// `cooling`, of the system or of a match; what does not matter to a page is left for `load_system` to read.
void add_cooling(const Document& document, const Item& item, const std::string& folder, const std::string& where,
                 const std::string& match, Basis& basis, std::vector<PageOfFile>& out) {
    const Fields fields(document, item, where, {"basis", "modulation", "stages"});
    if (const Item* typed = fields.find("basis")) basis = read_basis(document, *typed, fields.path("basis"));
    const Item& stages = fields.need("stages", "a name and a table for each stage");
    if (stages.kind != Item::Kind::map)
        fields.refuse(stages, fields.path("stages") + ": not a map of stages", "high: {file: name.csv}");
    for (std::size_t i = 0; i < stages.keys.size(); ++i) {
        const std::string path = fields.path("stages") + ": " + shortened(stages.keys[i].text);
        TypedPage page = read_page(stage_fields(document, stages.values[i], path), folder, path, basis);
        out.push_back({stages.keys[i].text, match, std::move(page.basis), std::move(page.page)});
    }
}

const Item* find(const Item& map, const std::string& key) {
    for (std::size_t i = 0; map.kind == Item::Kind::map && i < map.keys.size(); ++i)
        if (map.keys[i].text == key) return &map.values[i];
    return nullptr;
}

}  // namespace
}  // namespace files

std::vector<PageOfFile> load_pages(const std::string& path) {
    using namespace files;
    const std::string bytes = file_bytes(path, Text::size_limit);
    if (standard205::is_representation(bytes)) return pages_of(load_system(path));
    const Document document = parse_tree(Text::from_string(bytes, path));
    const std::string folder = folder_of(path);
    std::vector<PageOfFile> out;
    Basis basis;
    if (const Item* cooling = find(document.root, "cooling"))
        add_cooling(document, *cooling, folder, "cooling", {}, basis, out);
    if (const Item* matches = find(document.root, "matches"))
        for (std::size_t i = 0; matches->kind == Item::Kind::map && i < matches->keys.size(); ++i) {
            Basis own = basis;
            const std::string& name = matches->keys[i].text;
            if (const Item* cooling = find(matches->values[i], "cooling"))
                add_cooling(document, *cooling, folder, "matches: " + shortened(name) + ": cooling", name, own, out);
        }
    if (out.empty()) document.refuse(document.root, "no cooling page", "a system file with cooling: stages");
    return out;
}

std::vector<PageOfFile> pages_of(const System& system) {
    std::vector<PageOfFile> out;
    const auto add = [&out](const std::vector<Stage>& stages, const std::string& match) {
        for (const Stage& s : stages) out.push_back({s.name, match, s.table.basis(), s.table.page()});
    };
    add(system.parts().cooling, {});
    for (const Match& match : system.parts().matches) add(match.stages, match.name);
    return out;
}

}  // namespace offnominal
