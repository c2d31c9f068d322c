// Reads the files of figures in tests/published/data: a header of names, then rows; fields may be
// quoted.
#pragma once

#include <cstdlib>
#include <fstream>
#include <map>
#include <string>
#include <vector>

namespace fettle {

class Figures {
  public:
    explicit Figures(const std::string& name) {
        std::ifstream file(std::string(FETTLE_SOURCE_DIR "/tests/published/data/") + name);
        std::string line;
        std::getline(file, line);
        const auto names = split(line);
        while (std::getline(file, line)) {
            const auto fields = split(line);
            auto& row = rows_.emplace_back();
            for (std::size_t i = 0; i < fields.size() && i < names.size(); ++i)
                row[names[i]] = fields[i];
        }
    }

    using Row = std::map<std::string, std::string>;
    const std::vector<Row>& rows() const { return rows_; }

    static double number(const Row& row, const std::string& name) {
        return std::strtod(row.at(name).c_str(), nullptr);
    }

    // "L=0.006;alpha=4e-7" and the like: the number after `name=`.
    static double parameter(const Row& row, const std::string& name) {
        const std::string text = ";" + row.at("parameters");
        const auto at = text.find(";" + name + "=");
        return at == std::string::npos ? 0
                                       : std::strtod(text.c_str() + at + name.size() + 2, nullptr);
    }

  private:
    static std::vector<std::string> split(const std::string& line) {
        std::vector<std::string> fields(1);
        bool quoted = false;
        for (const char c : line) {
            if (c == '"')
                quoted = !quoted;
            else if (c == ',' && !quoted)
                fields.emplace_back();
            else if (c != '\r')
                fields.back() += c;
        }
        return fields;
    }

    std::vector<Row> rows_;
};

} // namespace fettle
