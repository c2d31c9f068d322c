#include "compiler/meaning/names.h"

#include <algorithm>

namespace fettle {
namespace {

std::uint32_t hash_of(std::string_view text) {
    std::uint32_t hash = 2166136261u;
    for (char c : text)
        hash = (hash ^ static_cast<unsigned char>(c)) * 16777619u;
    return hash ^ (hash >> 15);
}

constexpr std::size_t chunk_size = 64 * 1024;

} // namespace

Names::Names() : texts_{""}, hashes_{0}, table_(1024, 0) {}

std::size_t Names::slot(std::string_view text, std::uint32_t hash) const {
    const std::size_t mask = table_.size() - 1;
    std::size_t at = hash & mask;
    while (table_[at] != 0 && (hashes_[table_[at]] != hash || texts_[table_[at]] != text)) {
        at = (at + 1) & mask;
    }
    return at;
}

NameId Names::find(std::string_view text) const {
    return table_[slot(text, hash_of(text))];
}

NameId Names::intern(std::string_view text) {
    const std::uint32_t hash = hash_of(text);
    std::size_t at = slot(text, hash);
    if (table_[at] != 0)
        return table_[at];
    if (texts_.size() * 2 > table_.size()) {
        grow();
        at = slot(text, hash);
    }
    if (used_in_chunk_ + text.size() > chunk_size_) {
        chunk_size_ = std::max(text.size(), chunk_size);
        chunks_.push_back(std::make_unique_for_overwrite<char[]>(chunk_size_));
        used_in_chunk_ = 0;
    }
    char* copy = chunks_.back().get() + used_in_chunk_;
    if (!text.empty())
        std::memcpy(copy, text.data(), text.size());
    used_in_chunk_ += text.size();
    const auto id = static_cast<NameId>(texts_.size());
    texts_.emplace_back(copy, text.size());
    hashes_.push_back(hash);
    table_[at] = id;
    return id;
}

void Names::grow() {
    std::vector<NameId> old = std::move(table_);
    table_.assign(old.size() * 2, 0);
    const std::size_t mask = table_.size() - 1;
    for (NameId id : old) {
        if (id == 0)
            continue;
        std::size_t at = hashes_[id] & mask;
        while (table_[at] != 0)
            at = (at + 1) & mask;
        table_[at] = id;
    }
}

void PairMap::insert(std::uint32_t a, std::uint32_t b, std::uint32_t value) {
    if ((size_ + 1) * 2 > table_.size()) {
        std::vector<Entry> old = std::move(table_);
        table_.assign(old.empty() ? 64 : old.size() * 2, {});
        for (const Entry& entry : old) {
            if (entry.key == ~0ull)
                continue;
            std::size_t at = mix(entry.key) & (table_.size() - 1);
            while (table_[at].key != ~0ull)
                at = (at + 1) & (table_.size() - 1);
            table_[at] = entry;
        }
    }
    const std::uint64_t key = (std::uint64_t{a} << 32) | b;
    std::size_t at = mix(key) & (table_.size() - 1);
    while (table_[at].key != ~0ull && table_[at].key != key)
        at = (at + 1) & (table_.size() - 1);
    if (table_[at].key == ~0ull)
        ++size_;
    table_[at] = {key, value};
}

std::uint32_t PairMap::find(std::uint32_t a, std::uint32_t b) const {
    if (table_.empty())
        return none;
    const std::uint64_t key = (std::uint64_t{a} << 32) | b;
    std::size_t at = mix(key) & (table_.size() - 1);
    while (table_[at].key != ~0ull) {
        if (table_[at].key == key)
            return table_[at].value;
        at = (at + 1) & (table_.size() - 1);
    }
    return none;
}

} // namespace fettle
