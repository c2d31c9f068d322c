#include "compiler/cli/log_file.h"

#include "compiler/cli/arguments.h"
#include "compiler/cli/terminal.h"
#include "compiler/source/characters.h"
#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <cerrno>
#include <fcntl.h>
#include <memory>
#include <sys/stat.h>
#include <unistd.h>

namespace fettle {
namespace {

constexpr std::string_view unit_words[] = {"C", "F", "K", "mV"};
constexpr LogUnit units[] = {LogUnit::celsius, LogUnit::fahrenheit, LogUnit::kelvin,
                             LogUnit::millivolts};
constexpr std::string_view type_words[] = {"K", "N", "R", "S", "B"};
constexpr std::string_view time_words[] = {"seconds", "minutes", "hours"};
constexpr double time_units_s[] = {1, 60, 3600};

template <std::size_t N> std::size_t place(std::string_view word, const std::string_view (&in)[N]) {
    std::size_t at = 0;
    while (at < N && in[at] != word)
        ++at;
    return at;
}

// A quantity of one dimension, or nothing.
std::optional<double> quantity_of(const std::string& text, Dimension dimension) {
    const auto read = parse_quantity(text);
    const auto* quantity = std::get_if<Quantity>(&read);
    return quantity != nullptr && quantity->dimension == dimension ? std::optional(quantity->value)
                                                                   : std::nullopt;
}

class OpenFile {
  public:
    explicit OpenFile(const std::string& path)
        : number_(path == "-" ? STDIN_FILENO : ::open(path.c_str(), O_RDONLY | O_CLOEXEC)),
          own_(path != "-") {}
    ~OpenFile() {
        if (own_ && number_ >= 0)
            ::close(number_);
    }
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    int number() const { return number_; }

  private:
    int number_;
    bool own_;
};

} // namespace

void declare(Arguments& arguments, LogWords& words) {
    arguments.choice("--unit", words.unit, unit_words, "What the log is in (it is found out)");
    arguments.choice("--thermocouple", words.thermocouple, type_words,
                     "The type of thermocouple, for a log in millivolts");
    arguments.value("--junction", words.junction, "25C",
                    "The temperature at its cold end, where the log does not allow for it (0C)");
    arguments.choice("--time", words.time, time_words,
                     "What the times are in, where they are plain numbers (it is found out)");
    arguments.value("--every", words.every, "60s",
                    "From reading to reading, for a log without times");
    arguments.flag("--month-first", words.month_first, "03/04 in the log is the fourth of March");
}

std::optional<LogOptions> log_options(const LogWords& words) {
    LogOptions options;
    if (!words.unit.empty())
        options.unit = units[place(words.unit, unit_words)];
    if (!words.thermocouple.empty())
        options.thermocouple = thermocouple_type(words.thermocouple);
    if (!words.time.empty())
        options.time_unit_s = time_units_s[place(words.time, time_words)];
    if (words.month_first)
        options.day_first = false;
    if (!words.junction.empty()) {
        const auto junction = quantity_of(words.junction, dimension::temperature);
        if (!junction || *junction < -20 || *junction > 80) {
            say(fmt::format("error: --junction takes the temperature of a room, such as 25C, not "
                            "`{}`",
                            visible(words.junction)));
            return std::nullopt;
        }
        options.junction_c = *junction;
    }
    if (!words.every.empty()) {
        options.interval_s = quantity_of(words.every, dimension::duration);
        if (!options.interval_s || *options.interval_s <= 0) {
            say(fmt::format("error: --every takes a time such as 60s, not `{}`",
                            visible(words.every)));
            return std::nullopt;
        }
    }
    return options;
}

std::optional<LogReading> read_log_file(const std::string& path, const LogOptions& options,
                                        std::string& problem) {
    const OpenFile file(path);
    struct stat status {};
    if (file.number() < 0) {
        problem = errno == ENOENT ? "there is no such file" : words_of_error(errno);
        return std::nullopt;
    }
    if (::fstat(file.number(), &status) == 0 && S_ISDIR(status.st_mode)) {
        problem = "it is a folder, not a file";
        return std::nullopt;
    }
    constexpr std::size_t piece = std::size_t{1} << 20U;
    const auto bytes = std::make_unique<char[]>(piece);
    LogReader reader(options);
    for (;;) {
        const ssize_t got = ::read(file.number(), bytes.get(), piece);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            problem = words_of_error(errno);
            return std::nullopt;
        }
        if (got == 0)
            return reader.finish();
        reader.feed({bytes.get(), static_cast<std::size_t>(got)});
    }
}

} // namespace fettle
