#include "compiler/cli/log.h"

#include <atomic>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>

namespace fettle {
namespace {

std::atomic<bool> logging = false;

// Made at the first line, since most runs have none.
spdlog::logger& logger() {
    static const std::shared_ptr<spdlog::logger> made = [] {
        auto fresh = std::make_shared<spdlog::logger>(
            "fettle", std::make_shared<spdlog::sinks::stderr_sink_mt>());
        fresh->set_pattern("%T.%e  %v");
        return fresh;
    }();
    return *made;
}

} // namespace

void log_to_stderr(bool on) {
    logging = on;
}

bool is_logging() {
    return logging;
}

void log_text(std::string_view line) {
    logger().info("{}", line);
}

} // namespace fettle
