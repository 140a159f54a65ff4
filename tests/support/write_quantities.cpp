// Prints what is made from the lists of what is asked and told: include/offnominal/quantities.h; with `script` or
// `types` as its argument src/web/package/quantities.js or quantities.d.ts.
#include <cstdio>
#include <string_view>

#include "../../src/web/description.hpp"

int main(int count, char** arguments) {
    const std::string_view which = count > 1 ? arguments[1] : "header";
    std::fputs((which == "script"  ? offnominal::web::script_text()
                : which == "types" ? offnominal::web::types_text()
                                   : offnominal::c::header_text())
                   .c_str(),
               stdout);
}
