#include "compiler/library/tar.h"

#include "compiler/source/characters.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstring>

namespace fettle {
namespace {

constexpr std::size_t block = 512;

// Where the fields of a header stand.
struct Field {
    std::size_t begin, size;
};
constexpr Field name_field{0, 100}, mode_field{100, 8}, owner_field{108, 8}, group_field{116, 8},
    size_field{124, 12}, time_field{136, 12}, sum_field{148, 8}, kind_field{156, 1},
    magic_field{257, 8}, prefix_field{345, 155};

std::string_view text_at(std::string_view header, Field field) {
    const std::string_view text = header.substr(field.begin, field.size);
    return text.substr(0, text.find('\0'));
}

void put(std::string& header, Field field, std::string_view text) {
    std::copy(text.begin(), text.end(), header.begin() + static_cast<std::ptrdiff_t>(field.begin));
}

void put_octal(std::string& header, Field field, std::uint64_t number) {
    put(header, field, fmt::format("{:0{}o}", number, field.size - 1));
}

// Octal digits, ended by a blank or zero.
std::optional<std::uint64_t> octal_at(std::string_view header, Field field) {
    std::string_view text = text_at(header, field);
    while (!text.empty() && text.front() == ' ')
        text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ')
        text.remove_suffix(1);
    if (text.empty() || text.size() > 11)
        return std::nullopt;
    std::uint64_t number = 0;
    for (const char c : text) {
        if (c < '0' || c > '7')
            return std::nullopt;
        number = number * 8 + static_cast<std::uint64_t>(c - '0');
    }
    return number;
}

// Of all bytes of the header, with blanks in the place of the sum itself.
std::uint64_t sum_of(std::string_view header) {
    std::uint64_t sum = 0;
    for (std::size_t i = 0; i < block; ++i) {
        const bool own = i >= sum_field.begin && i < sum_field.begin + sum_field.size;
        sum += own ? ' ' : static_cast<unsigned char>(header[i]);
    }
    return sum;
}

std::string header_of(const std::string& path, std::uint64_t size) {
    std::string header(block, '\0');
    if (path.size() <= name_field.size) {
        put(header, name_field, path);
    } else {
        // With parts of 60 letters and a whole of 190, such a slash leaves room in both fields.
        const std::size_t slash = path.find('/', path.size() - name_field.size - 1);
        put(header, prefix_field, std::string_view(path).substr(0, slash));
        put(header, name_field, std::string_view(path).substr(slash + 1));
    }
    put_octal(header, mode_field, 0644);
    put_octal(header, owner_field, 0);
    put_octal(header, group_field, 0);
    put_octal(header, size_field, size);
    put_octal(header, time_field, 0);
    put(header, kind_field, "0");
    put(header, magic_field,
        std::string_view("ustar\0"
                         "00",
                         8));
    put(header, sum_field, fmt::format("{:06o}", sum_of(header)));
    header[sum_field.begin + 7] = ' ';
    return header;
}

std::size_t padded(std::size_t size) {
    return (size + block - 1) / block * block;
}

class TarReader {
  public:
    TarReader(std::string_view bytes, std::string& top, std::string& problem, TarOf of)
        : bytes_(bytes), top_(top), problem_(problem), of_(of) {}

    bool read(Contents& contents) {
        if (bytes_.starts_with("\x1f\x8b") || bytes_.starts_with("PK\x03\x04") ||
            bytes_.starts_with("\x28\xb5\x2f\xfd") ||
            bytes_.starts_with("\xfd"
                               "7zXZ")) {
            return fail("it is compressed, and archives of libraries are not");
        }
        while (true) {
            if (bytes_.size() < block)
                return fail("it ends in the middle");
            const std::string_view header = bytes_.substr(0, block);
            if (header.find_first_not_of('\0') == std::string_view::npos)
                return true;
            if (++entries_ > (of_ == TarOf::library ? 2 : 50) * most_library_files)
                return fail("there are more entries in it than any library has");
            bytes_.remove_prefix(block);
            if (!take(header, contents))
                return false;
        }
    }

  private:
    bool fail(std::string why) {
        problem_ = std::move(why);
        return false;
    }

    bool take(std::string_view header, Contents& contents) {
        const auto sum = octal_at(header, sum_field);
        if (header.substr(magic_field.begin, 5) != "ustar" || !sum || *sum != sum_of(header))
            return fail("it is no tar file, or was damaged");
        std::string path(text_at(header, prefix_field));
        path += path.empty() ? "" : "/";
        path += text_at(header, name_field);
        const char kind = header[kind_field.begin];
        const auto size = octal_at(header, size_field);
        if (of_ == TarOf::repository && size && !wanted(path, kind)) {
            bytes_.remove_prefix(std::min(bytes_.size(), padded(*size)));
            return true;
        }
        if (!size || *size > largest_library_file)
            return fail(fmt::format("`{}` in it is larger than 16 MiB", visible(path)));
        if (kind == '5')
            return true;
        if (kind != '0' && kind != '\0') {
            return fail(fmt::format("`{}` in it is {}", visible(path),
                                    kind == '1' || kind == '2' ? "a link" : "no plain file"));
        }
        return take_file(path, *size, contents);
    }

    static bool wanted(std::string_view path, char kind) {
        return kind != 'x' && kind != 'g' && kind != '5' &&
               belongs_to_library(path.substr(path.find('/') + 1));
    }

    bool take_file(const std::string& path, std::uint64_t size, Contents& contents) {
        const std::size_t slash = path.find('/');
        const std::string top = path.substr(0, slash);
        const std::string below = slash == std::string::npos ? "" : path.substr(slash + 1);
        std::string why;
        if (!is_safe_path(path.starts_with('/') ? path : below, why))
            return fail(fmt::format("`{}` in it: {}", visible(path), why));
        if (top.size() > longest_archive_top || top.front() == '.' ||
            (!top_.empty() && top != top_)) {
            return fail(fmt::format("`{}` in it does not lie in the one folder of the library",
                                    visible(path)));
        }
        top_ = top;
        total_ += size;
        if (total_ > largest_library || contents.size() >= most_library_files)
            return fail("what is in it is larger than any library");
        if (padded(size) > bytes_.size())
            return fail("it ends in the middle");
        contents.push_back({below, std::string(bytes_.substr(0, size))});
        bytes_.remove_prefix(padded(size));
        return true;
    }

    std::string_view bytes_;
    std::string& top_;
    std::string& problem_;
    TarOf of_;
    std::size_t entries_ = 0;
    std::uint64_t total_ = 0;
};

} // namespace

std::string write_tar(std::string_view top, const Contents& contents) {
    std::string tar;
    for (const ContentFile& file : contents) {
        tar += header_of(fmt::format("{}/{}", top, file.path), file.bytes.size());
        tar += file.bytes;
        tar.resize(padded(tar.size()), '\0');
    }
    tar.resize(tar.size() + 2 * block, '\0');
    return tar;
}

std::optional<Contents> read_tar(std::string_view bytes, std::string& top, std::string& problem,
                                 TarOf of) {
    Contents contents;
    top.clear();
    if (!TarReader(bytes, top, problem, of).read(contents))
        return std::nullopt;
    std::stable_sort(contents.begin(), contents.end(),
                     [](const ContentFile& a, const ContentFile& b) { return a.path < b.path; });
    if (!are_distinct(contents, problem))
        return std::nullopt;
    return contents;
}

} // namespace fettle
