// Every number of an output that a kiln would be fired by, spoilt one after the other: the reader
// that did not write it must see it.
#include "compiler/proof/read_csv.h"
#include "compiler/proof/read_header.h"
#include "compiler/proof/read_json.h"

#include "compiler/output/csv.h"
#include "compiler/output/header.h"
#include "compiler/output/json.h"
#include "compiler/output/steps_csv.h"
#include "compiler/target/make_steps.h"
#include "tests/target/random_firings.h"

#include <cctype>
#include <gtest/gtest.h>

namespace fettle {
namespace {

struct Sample {
    Schedule schedule;
    FiringDocument document;
};

// A random firing with a table, if there is one for it.
std::optional<Sample> sample(std::mt19937& random) {
    std::optional<Sample> made(std::in_place);
    made->schedule = random_schedule(random);
    StepsOptions options;
    options.firing = "mugs";
    options.split = true;
    StepsResult result =
        make_steps(made->schedule, random_abilities(random), options, made->document.kept);
    if (!result.steps) {
        return std::nullopt;
    }
    made->document.name = "mugs";
    made->document.steps = std::move(result.steps);
    return made;
}

// Where a digit that counts stands between two marks, changed to another one.
template <class Differs>
int spoil(const std::string& text, std::size_t begin, std::size_t end, Differs differs) {
    int unseen = 0;
    bool quoted = false;
    for (std::size_t i = begin; i < end; ++i) {
        quoted = quoted != (text[i] == '"');
        const bool leads = std::isdigit(static_cast<unsigned char>(text[i])) != 0 &&
                           std::isalnum(static_cast<unsigned char>(text[i - 1])) == 0 &&
                           text[i - 1] != '.';
        if (quoted || !leads) {
            continue;
        }
        std::string spoilt = text;
        spoilt[i] = text[i] == '9' ? '8' : static_cast<char>(text[i] + 1);
        unseen += differs(spoilt) ? 0 : 1;
    }
    return unseen;
}

template <class Differs>
int spoil(const std::string& text, std::string_view from, std::string_view to, Differs differs) {
    const std::size_t begin = text.find(from);
    return spoil(text, begin, text.find(to, begin), differs);
}

TEST(ReadBack, OfJsonSeesEveryNumberThatIsFired) {
    std::mt19937 random(7);
    int samples = 0;
    for (int i = 0; i < 400; ++i) {
        auto made = sample(random);
        if (!made) {
            continue;
        }
        made->document.schedule = &made->schedule;
        const Steps& steps = *made->document.steps;
        for (const JsonLayout layout : {JsonLayout::compact, JsonLayout::indented}) {
            const std::string text = json(made->document, layout);
            ASSERT_EQ(difference_of_json(text, made->schedule, &steps), "");
        }
        if (++samples > 40) {
            continue;
        }
        const std::string text = json(made->document, JsonLayout::compact);
        const auto differs = [&](const std::string& spoilt) {
            return !difference_of_json(spoilt, made->schedule, &steps).empty();
        };
        EXPECT_EQ(spoil(text, "\"steps\":{", ",\"totals\"", differs), 0) << text;
        // Of a segment, `starts_s` follows from the others and is not read.
        EXPECT_EQ(spoil(text, "\"kind\":", ",\"atmosphere\"", differs), 0) << text;
        EXPECT_TRUE(differs(text.substr(0, text.size() / 2)));
        EXPECT_FALSE(difference_of_json(text, Schedule{}, nullptr).empty());
    }
    EXPECT_GT(samples, 40);
}

TEST(ReadBack, OfJsonIsNotMisledByNames) {
    Schedule schedule;
    schedule.phases = {{"\"index\":7,\"kind\":\"soak\"", "", ""}};
    schedule.states.resize(1);
    schedule.states[0].settings = {{"index", "3"}, {"kind", "half"}, {"segments", "1"}};
    for (double to_c : {100.0, 200.0}) {
        Segment& segment = schedule.segments.emplace_back();
        segment.from_c = to_c - 80;
        segment.to_c = to_c;
        segment.duration_s = 3600;
        segment.notes = {"\"index\":1,\"kind\":\"ramp\",\"from_c\":1", "],\"segments\":[{"};
        segment.jobs = {"\"steps\":{\"form\":"};
    }
    FiringDocument document;
    document.name = "\"start\":{\"temperature_c\":900";
    document.schedule = &schedule;
    EXPECT_EQ(difference_of_json(json(document, JsonLayout::compact), schedule, nullptr), "");
    EXPECT_EQ(difference_of_json(json(document, JsonLayout::indented), schedule, nullptr), "");
}

TEST(ReadBack, OfCsvSeesEveryNumberThatIsFired) {
    std::mt19937 random(9);
    int samples = 0;
    for (int i = 0; i < 400; ++i) {
        auto made = sample(random);
        if (!made) {
            continue;
        }
        made->document.schedule = &made->schedule;
        const Steps& steps = *made->document.steps;
        for (const Scale scale : {Scale::celsius, Scale::fahrenheit}) {
            ASSERT_EQ(difference_of_csv(csv(made->document, scale), made->schedule, scale), "");
        }
        const std::string text = steps_csv(made->document);
        ASSERT_EQ(difference_of_steps_csv(text, steps), "");
        if (++samples > 40) {
            continue;
        }
        // Of each row what is keyed: from its second cell to the kind of step.
        for (std::size_t row = text.find("\nmugs"); row != std::string::npos;
             row = text.find("\nmugs", row + 1)) {
            const std::size_t keyed = text.find(',', row);
            std::size_t kind = std::string::npos;
            for (const char* word : {",ramp", ",soak", ",full", ",free"}) {
                kind = std::min(kind, text.find(word, keyed));
            }
            EXPECT_EQ(spoil(text, keyed, kind,
                            [&](const std::string& spoilt) {
                                return !difference_of_steps_csv(spoilt, steps).empty();
                            }),
                      0)
                << text;
        }
        EXPECT_FALSE(difference_of_steps_csv(text.substr(0, text.rfind("mugs")), steps).empty());
    }
    EXPECT_GT(samples, 40);
}

TEST(ReadBack, OfTheHeaderSeesEveryNumberThatIsFired) {
    std::mt19937 random(11);
    for (int i = 0; i < 50; ++i) {
        Schedule schedule = random_schedule(random);
        FiringDocument document;
        document.name = "mugs";
        document.schedule = &schedule;
        const std::string text = header(document);
        ASSERT_EQ(difference_of_header(text, schedule), "");
        Schedule other = schedule;
        other.segments[0].to_c += 1;
        EXPECT_FALSE(difference_of_header(text, other).empty());
        other = schedule;
        other.segments.pop_back();
        EXPECT_FALSE(difference_of_header(text, other).empty());
    }
}

} // namespace
} // namespace fettle
