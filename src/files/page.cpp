#include "page.hpp"

#include <cmath>
#include <optional>

#include "page_axes.hpp"
#include "page_outputs.hpp"
#include "page_roles.hpp"

namespace offnominal::files {
namespace {

/// The table of a stage. What stands beside it needs no column.
Table table_of(const Fields& fields, const std::string& folder, const std::string& where) {
    std::vector<Role> all{roles::odb,      roles::airflow, roles::ewb,      roles::rh,    roles::edb,
                          roles::pressure, roles::total,   roles::sensible, roles::power, roles::bypass};
    all.insert(all.end(), roles::extras.begin(), roles::extras.end());
    for (Role& role : all) role.required = role.required && fields.find(role.name) == nullptr;
    if (fields.find("airflow_factors") != nullptr) all[1].required = false;
    return read_table(fields, folder, where, all);
}

/// Typed text with its page; shows the row of a node that the library complains about.
class PageReader {
   public:
    PageReader(const Fields& fields, const std::string& folder, const std::string& where, Basis basis)
        : fields_(fields), table_(table_of(fields, folder, where)), typed_{std::move(basis), {}} {
        std::vector<TypedAxis> axes = cooling_axes(fields_, table_);
        const std::string hint = hint_of_pairs(axes);
        const Layout layout(table_, std::move(axes), hint);
        PrintedPage& page = typed_.page;
        fill_axes(fields_, table_, layout, typed_.basis, page);
        fill_outputs(fields_, table_, layout, typed_.basis, page);
        if (const Item* factors = fields_.find("airflow_factors"))
            multiply_airflow(read_airflow_factors(fields_, *factors, folder, page), typed_.basis, page);
        page.infer = fields_.flag("infer", false);
    }

    [[nodiscard]] TypedPage take() && { return std::move(typed_); }

    [[nodiscard]] RatingTable build() && {
        try {
            return placed(fields_.document(), fields_.map(),
                          [&] { return RatingTable(typed_.basis, std::move(typed_.page)); });
        } catch (const InputError& error) {
            if (error.text().empty())
                for (const Row& row : table_.rows())
                    if (row.line == error.line() && table_.place(row).file == error.file())
                        table_.refuse(row, error.problem(), error.accepted());
            throw;
        }
    }

   private:
    const Fields& fields_;
    Table table_;
    TypedPage typed_;
};

}  // namespace

Fields stage_fields(const Document& document, const Item& item, const std::string& where) {
    return {document,
            item,
            where,
            {"table", "file", "odb", "airflow", "ewb", "rh", "edb", "pressure", "bypass", "airflow_factors", "indoor",
             "infer", "speed"}};
}

TypedPage read_page(const Fields& fields, const std::string& folder, const std::string& where, Basis basis) {
    return PageReader(fields, folder, where, std::move(basis)).take();
}

RatingTable read_stage(const Fields& fields, const std::string& folder, const std::string& where, Basis basis) {
    return PageReader(fields, folder, where, std::move(basis)).build();
}

}  // namespace offnominal::files
