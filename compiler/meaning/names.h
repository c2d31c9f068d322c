// Names are interned once: equal names have equal ids, and comparing two is comparing two numbers.
#pragma once

#include <cstdint>
#include <cstring>
#include <deque>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

using NameId = std::uint32_t; // 0: no name

class Names {
  public:
    Names();
    NameId intern(std::string_view text);
    // 0 when it was never interned.
    NameId find(std::string_view text) const;
    std::string_view operator[](NameId id) const { return texts_[id]; }
    std::size_t size() const { return texts_.size(); }

  private:
    std::size_t slot(std::string_view text, std::uint32_t hash) const;
    void grow();

    std::vector<std::string_view> texts_;
    std::vector<std::uint32_t> hashes_;
    std::vector<NameId> table_; // open addressing; 0: empty
    std::vector<std::unique_ptr<char[]>> chunks_;
    std::size_t used_in_chunk_ = 0;
    std::size_t chunk_size_ = 0; // of the last one
};

// A map from a pair of 32-bit numbers to a third: open addressing, no removal.
class PairMap {
  public:
    static constexpr std::uint32_t none = 0xffffffffu;
    void insert(std::uint32_t a, std::uint32_t b, std::uint32_t value);
    std::uint32_t find(std::uint32_t a, std::uint32_t b) const; // `none` when absent

  private:
    struct Entry {
        std::uint64_t key = ~0ull;
        std::uint32_t value = none;
    };
    static std::size_t mix(std::uint64_t key) {
        key *= 0x9e3779b97f4a7c15ull;
        return static_cast<std::size_t>(key ^ (key >> 29));
    }
    std::vector<Entry> table_;
    std::size_t size_ = 0;
};

} // namespace fettle
