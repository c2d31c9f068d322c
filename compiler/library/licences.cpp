#include "compiler/library/licences.h"

#include "compiler/source/characters.h"
#include "compiler/source/embedded.h"
#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <span>

namespace fettle {

std::span<const EmbeddedFile> licence_files(); // made by fettle_embed

namespace {

// The identifiers of one kind: "licence", "old", "exception".
std::vector<std::string_view> listed(std::string_view kind) {
    std::vector<std::string_view> found;
    std::string_view text = licence_files()[0].text;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        if (line.starts_with(kind) && line.size() > kind.size() && line[kind.size()] == ' ')
            found.push_back(line.substr(kind.size() + 1));
    }
    return found;
}

bool is_in(const std::vector<std::string_view>& names, std::string_view name) {
    return std::find(names.begin(), names.end(), name) != names.end();
}

class Expression {
  public:
    explicit Expression(std::string_view text) : rest_(text) {}

    std::string check() {
        if (!either())
            return problem_;
        return next().empty() ? "" : fmt::format("`{}` is one word too many", visible(next()));
    }

  private:
    std::string_view next() {
        while (!rest_.empty() && rest_.front() == ' ')
            rest_.remove_prefix(1);
        if (rest_.starts_with('(') || rest_.starts_with(')'))
            return rest_.substr(0, 1);
        return rest_.substr(0, rest_.find_first_of(" ()"));
    }
    void take() { rest_.remove_prefix(next().size()); }
    bool fail(std::string why) {
        problem_ = std::move(why);
        return false;
    }

    bool either() {
        do {
            if (!both())
                return false;
        } while (took("OR"));
        return true;
    }
    bool both() {
        do {
            if (!one())
                return false;
        } while (took("AND"));
        return true;
    }
    bool took(std::string_view word) {
        if (next() != word)
            return false;
        take();
        return true;
    }
    bool one() {
        if (++depth_ > 20)
            return fail("there are too many brackets");
        if (took("("))
            return either() && (took(")") || fail("a bracket is never closed"));
        std::string_view name = next();
        if (name.empty())
            return fail("a licence is missing in it");
        take();
        if (name.starts_with("LicenseRef-"))
            return true;
        if (name.ends_with('+'))
            name.remove_suffix(1);
        const std::vector<std::string_view> licences = listed("licence");
        if (!is_in(licences, name))
            return fail(
                is_in(listed("old"), name)
                    ? fmt::format("`{0}` is an old name; write `{0}-only` or the like", name)
                    : unknown(name, licences));
        if (!took("WITH"))
            return true;
        const std::vector<std::string_view> exceptions = listed("exception");
        const std::string_view exception = next();
        take();
        return is_in(exceptions, exception) || fail(unknown(exception, exceptions));
    }
    static std::string unknown(std::string_view name, const std::vector<std::string_view>& known) {
        const auto near = nearest(name, known);
        return fmt::format("`{}` is not on the list of SPDX{}", visible(name),
                           near ? fmt::format("; did you mean `{}`?", *near) : "");
    }

    std::string_view rest_;
    std::string problem_;
    int depth_ = 0;
};

} // namespace

std::string wrong_licence(std::string_view expression) {
    if (expression.find_first_not_of(' ') == std::string_view::npos)
        return "there is none";
    return Expression(expression).check();
}

std::vector<std::string_view> known_licences() {
    return listed("licence");
}

} // namespace fettle
