#include "compiler/output/json.h"

#include <algorithm>

namespace fettle {

namespace {

constexpr std::size_t line_width = 100;
constexpr std::size_t indent_step = 2;

// The end of the quoted text that starts at `at`: one past its closing quote.
std::size_t end_of_text(std::string_view json, std::size_t at) {
    for (++at; json[at] != '"'; ++at) {
        if (json[at] == '\\') {
            ++at;
        }
    }
    return at + 1;
}

// One past the end of the container that starts at `at`, if laid out on one line it fits into
// `room` columns; else 0. Looks no further than `room` bytes.
std::size_t end_if_it_fits(std::string_view json, std::size_t at, std::size_t room) {
    std::size_t depth = 0, width = 0;
    while (at < json.size()) {
        const char c = json[at];
        const std::size_t next = c == '"' ? end_of_text(json, at) : at + 1;
        width += next - at + (c == ',' || c == ':' ? 1 : 0);
        if (width > room) {
            return 0;
        }
        if (c == '{' || c == '[') {
            ++depth;
        }
        if ((c == '}' || c == ']') && --depth == 0) {
            return next;
        }
        at = next;
    }
    return 0;
}

class Layout {
  public:
    explicit Layout(std::string_view json) : json_(json) {
        text_.reserve(json.size() + json.size() / 2);
    }

    std::string run() && {
        while (at_ < json_.size()) {
            step();
        }
        return std::move(text_);
    }

  private:
    std::size_t column() const { return text_.size() - line_start_; }

    void new_line() {
        text_ += '\n';
        line_start_ = text_.size();
        text_.append(depth_ * indent_step, ' ');
    }

    void step() {
        const char c = json_[at_];
        switch (c) {
        case '"': copy_to(end_of_text(json_, at_)); return;
        case '{':
        case '[': open(); return;
        case '}':
        case ']':
            --depth_;
            new_line();
            break;
        default: break;
        }
        text_ += c;
        ++at_;
        if (c == ':') {
            text_ += ' ';
        }
        if (c == ',') {
            new_line();
        }
        if (c == '\n') {
            line_start_ = text_.size();
        }
    }

    void open() {
        const std::size_t room = column() + 1 < line_width ? line_width - 1 - column() : 2;
        if (const std::size_t end = end_if_it_fits(json_, at_, std::max<std::size_t>(room, 2))) {
            return one_line(end);
        }
        text_ += json_[at_++];
        ++depth_;
        new_line();
    }

    void one_line(std::size_t end) {
        while (at_ < end) {
            const char c = json_[at_];
            copy_to(c == '"' ? end_of_text(json_, at_) : at_ + 1);
            if (c == ':' || c == ',') {
                text_ += ' ';
            }
        }
    }

    void copy_to(std::size_t end) {
        text_ += json_.substr(at_, end - at_);
        at_ = end;
    }

    std::string_view json_;
    std::string text_;
    std::size_t at_ = 0, depth_ = 0, line_start_ = 0;
};

} // namespace

std::string indented_json(std::string_view compact) {
    return Layout(compact).run();
}

} // namespace fettle
