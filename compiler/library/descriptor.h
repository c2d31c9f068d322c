// A number that the system gave for an open file; closes itself.
#pragma once

#include <unistd.h>

namespace fettle {

class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    ~Descriptor() {
        if (number_ >= 0)
            ::close(number_);
    }
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    int number() const { return number_; }

  private:
    int number_; // below 0: it could not be opened
};

} // namespace fettle
