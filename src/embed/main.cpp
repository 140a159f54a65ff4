// offnominal_embed: writes a system file as a source file with constant data, and its header. Run by the CMake function
// of that name when a program is built.
#include <cctype>
#include <cstdio>
#include <fstream>
#include <string>

#include "offnominal/embedded.hpp"
#include "offnominal/files.hpp"

namespace {

/// The bytes as `65,66,...`, in lines.
std::string numbers(const std::string& bytes) {
    std::string out;
    std::size_t line = 0;
    for (const char byte : bytes) {
        out += std::to_string(static_cast<unsigned char>(byte)) + ',';
        if (out.size() - line < 110) continue;
        out += '\n';
        line = out.size();
    }
    return out;
}

void write(const std::string& path, const std::string& text) {
    std::ofstream out(path, std::ios::binary);
    if (!(out << text) || !out.flush()) throw offnominal::InputError({path}, "the file cannot be written");
}

}  // namespace

int main(int count, char** given) {
    if (count != 5) {
        std::fputs(
            "accepted: offnominal_embed SYSTEM.yaml NAME C|CXX OUT.c, which writes OUT.c and a header NAME.h "
            "beside it, or with CXX NAME.hpp\n",
            stderr);
        return 2;
    }
    const std::string file = given[1], name = given[2], source = given[4];
    const bool cpp = given[3] == std::string("CXX");
    try {
        const offnominal::System system = offnominal::load_system(file);
        const std::string bytes = offnominal::system_to_bytes(system);
        const std::string folder = source.substr(0, source.find_last_of('/') + 1);
        const std::string header = name + (cpp ? ".hpp" : ".h");
        const std::string size = std::to_string(bytes.size());
        if (cpp) {
            write(folder + header,
                  "// Written by offnominal_embed.\n#pragma once\n\n#include <offnominal/system.hpp>\n\nnamespace "
                  "embedded {\n"
                  "/// Built when it is first asked for; then any number of threads may use it.\n"
                  "const offnominal::System& " +
                      name + "();\n}  // namespace embedded\n");
            write(source,
                  "// Written by offnominal_embed.\n#include \"" + header +
                      "\"\n\n#include <offnominal/embedded.hpp>\n\nnamespace {\nconstexpr unsigned char bytes[" + size +
                      "] = {\n" + numbers(bytes) +
                      "};\n}  // namespace\n\nconst offnominal::System& embedded::" + name +
                      "() {\n    static const offnominal::System system = offnominal::system_from_bytes(bytes);\n"
                      "    return system;\n}\n");
        } else {
            const std::string declared = "const unsigned char " + name + "_bytes[" + size + "]";
            write(folder + header,
                  "/* Written by offnominal_embed: for offnominal_system_from_bytes(). */\n#ifdef __cplusplus\nextern "
                  "\"C\"\n"
                  "#else\nextern\n#endif\n" +
                      declared + ";\n");
            write(source, "/* Written by offnominal_embed. */\n#include \"" + header + "\"\n\n" + declared + " = {\n" +
                              numbers(bytes) + "};\n");
        }
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
