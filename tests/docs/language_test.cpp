// The tables of docs/language.md are those of the compiler.
#include "compiler/meaning/builtins.h"
#include "compiler/meaning/fields.h"
#include "compiler/meaning/names.h"
#include "compiler/source/diagnostic.h"
#include "compiler/syntax/lexical.h"
#include "compiler/units/unit_table.h"
#include "tests/docs/document.h"

#include <algorithm>
#include <cctype>
#include <fmt/format.h>
#include <gtest/gtest.h>
#include <set>

namespace fettle {
namespace {

constexpr std::string_view reference = "docs/language.md";

// A `|` inside a cell would end it.
std::string cell(std::string_view text) {
    std::string out;
    for (const char c : text)
        out += c == '|' ? std::string("\\|") : std::string(1, c);
    return out;
}

std::string words_of(std::string_view words) {
    std::string out;
    std::size_t begin = 0;
    while (begin < words.size()) {
        const std::size_t end = std::min(words.find(' ', begin), words.size());
        out += fmt::format("{}`{}`", out.empty() ? "" : " ", words.substr(begin, end - begin));
        begin = end + 1;
    }
    return out;
}

std::string unit_rows() {
    std::string text = "| unit | also | counts | as in |\n| --- | --- | --- | --- |\n";
    for (const Unit& unit : units) {
        std::string also;
        for (const std::string_view alias : unit.aliases.all()) {
            if (!alias.empty())
                also += fmt::format("{}`{}`", also.empty() ? "" : " ", alias);
        }
        text += fmt::format("| `{}` | {} | {} | `{}` |\n", unit.name, also, cell(unit.meaning),
                            unit.example);
    }
    return text;
}

TEST(Language, UnitsAreThoseOfTheTable) {
    expect_generated(reference, "units", unit_rows());
}

class Meanings : public testing::Test {
  protected:
    // "a temperature, as 600C"
    std::string value_of(TypeId type) {
        const std::string example = types_.example(type);
        return example.empty() ? types_.describe(type)
                               : fmt::format("{}, as `{}`", types_.describe(type), example);
    }

    std::string value_of(const Field& field) {
        switch (field.shape) {
        case FieldShape::choice: return "one of " + words_of(field.words);
        case FieldShape::choices: return "any of " + words_of(field.words) + ", with commas";
        case FieldShape::hours: return "a range of times of day, as `08:00 to 22:00`";
        case FieldShape::profiles:
            return fmt::format("the names of {}s, with commas", to_string(field.profile));
        case FieldShape::profile:
            return fmt::format("the name of {}", types_.describe(types_.profile(field.profile)));
        case FieldShape::yes_no: return "`yes` or `no`";
        case FieldShape::cones:
            return types_.kind(field_type(field, types_)) == TypeKind::cone
                       ? "a cone"
                       : "a cone, or a range of cones";
        case FieldShape::text: return "a text";
        case FieldShape::texts: return "a text; may be written several times";
        case FieldShape::word: return "a name";
        case FieldShape::version: return "a version, as `1.2.0`";
        case FieldShape::unity: return "a share of each oxide";
        case FieldShape::quantity: return quantity(field.dimension);
        case FieldShape::range:
            if (field.dimension == dimension::temperature)
                return "a range of temperatures, as `600C to 900C`";
            if (field.dimension == dimension::expansion)
                return "a range of expansions, as `5ppm/K to 8ppm/K`";
            return "a range of rates, as `10C/h to 300C/h`";
        }
        return "";
    }

    std::string fields() {
        std::string text;
        for (int holder = 0; holder <= static_cast<int>(Holder::library); ++holder) {
            const auto which = static_cast<Holder>(holder);
            std::string title(to_string(which));
            title[0] = static_cast<char>(std::toupper(title[0]));
            text += fmt::format("{}#### {} fields\n\n| field | value | meaning |\n| --- | --- | "
                                "--- |\n",
                                text.empty() ? "" : "\n", title);
            for (const Field& field : fields_of(which)) {
                text += fmt::format("| `{}` | {} | {}{} |\n", field.name, value_of(field),
                                    cell(field.about), field.computed ? " (computed)" : "");
            }
        }
        return text;
    }

    std::string calls(bool of_curve) {
        std::string text = "| function | gives | |\n| --- | --- | --- |\n";
        for (const Builtin& builtin : builtins()) {
            if (builtin.of_curve != of_curve)
                continue;
            std::string parameters;
            for (const BuiltinParameter& parameter : builtin.parameters) {
                parameters += fmt::format("{}{}", parameters.empty() ? "" : ", ", parameter.name);
            }
            const std::string call = builtin.any_number ? fmt::format("{}(a, b, …)", builtin.name)
                                     : builtin.parameters.empty()
                                         ? std::string(builtin.name)
                                         : fmt::format("{}({})", builtin.name, parameters);
            text += fmt::format("| `{}` | {} | {} |\n", call,
                                builtin.result == Types::poison ? result_of(builtin)
                                                                : types_.describe(builtin.result),
                                cell(builtin.about));
        }
        return text;
    }

    Names names_;
    Types types_{names_};

  private:
    std::string quantity(Dimension dimension) {
        const std::string example = types_.example(types_.quantity(dimension));
        if (!example.empty())
            return fmt::format("{}, as `{}`", describe(dimension), example);
        for (const Unit& unit : units) {
            if (unit.dimension == dimension)
                return fmt::format("{}, as `{}`", describe(dimension), unit.example);
        }
        return describe(dimension);
    }

    std::string result_of(const Builtin& builtin) {
        if (builtin.name.starts_with("vent_"))
            return types_.describe(vent_type(types_));
        return "the same kind as it is given";
    }
};

TEST_F(Meanings, FieldsAreThoseOfTheTable) {
    expect_generated(reference, "fields", fields());
}

TEST_F(Meanings, FunctionsAreThoseOfTheTable) {
    expect_generated(reference, "functions", calls(false));
}

TEST_F(Meanings, QuestionsToTheCurveAreThoseOfTheTable) {
    expect_generated(reference, "questions", calls(true));
}

TEST(Language, DiagnosticsAreThoseOfTheTable) {
    std::string text = "| name | level | |\n| --- | --- | --- |\n";
    for (const DiagnosticEntry& entry : diagnostic_table()) {
        text += fmt::format("| `{}` | {} | {} |\n", entry.name, to_string(entry.level),
                            cell(entry.summary));
    }
    expect_generated(reference, "diagnostics", text);
}

std::set<std::string> words_in(std::string_view text) {
    std::set<std::string> words;
    std::string word;
    for (const char c : text) {
        if (std::islower(static_cast<unsigned char>(c)) != 0) {
            word += c;
        } else if (!word.empty()) {
            words.insert(std::move(word));
            word.clear();
        }
    }
    return words;
}

TEST(Language, ReservedWordsAreAllNamed) {
    const std::string document = read_document(reference);
    const std::size_t begin = document.find("<!-- generated: reserved -->") + 28;
    ASSERT_GT(begin, 28u);
    const std::set<std::string> named = words_in(
        std::string_view(document).substr(begin, document.find("<!-- end", begin) - begin));
    for (const std::string& word : named)
        EXPECT_TRUE(lexical::is_reserved(word)) << word;
    for (const std::string& word : words_in(document)) {
        EXPECT_TRUE(!lexical::is_reserved(word) || named.count(word)) << word;
    }
}

TEST(Language, TypesAreAllNamed) {
    const std::string document = read_document(reference);
    for (const std::string_view name : Types::type_names())
        EXPECT_NE(document.find(fmt::format("`{}`", name)), std::string::npos) << name;
}

} // namespace
} // namespace fettle
