// What the kilns of a program do by themselves (OwnTime), each worked out when it is first asked
// for; safe to ask from several threads.
#pragma once

#include "runtime/kiln/own_time.h"

#include <cstdint>
#include <map>
#include <memory>
#include <mutex>

namespace fettle {

struct Program;

class KilnBook {
  public:
    // With the load that is usual in it. Nothing where the kiln's profile lacks what a model needs
    // (`describe_kiln` says what), or can't be.
    const OwnTime* find(const Program& program, std::uint32_t kiln) const;

  private:
    mutable std::mutex mutex_;
    mutable std::map<std::uint32_t, std::unique_ptr<OwnTime>> kilns_;
};

} // namespace fettle
