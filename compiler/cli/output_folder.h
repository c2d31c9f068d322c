// Writes files into a folder, each whole or not at all: they are written under hidden names beside
// their places, and get their own names when all are done. A run that fails or is stopped leaves
// nothing behind; what a killed one left is cleared away by the next.
#pragma once

#include <atomic>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

class OutputFolder {
  public:
    // Makes the folder, and those above it, at the first file.
    explicit OutputFolder(std::string path);
    ~OutputFolder(); // throws away what was not committed
    OutputFolder(const OutputFolder&) = delete;
    OutputFolder& operator=(const OutputFolder&) = delete;

    // Prepares a file; may be called from several threads. False once anything went wrong. `mode`
    // is that of the new file; 0: what is usual.
    bool write(const std::string& name, std::string_view text, unsigned mode = 0);
    // Gives all files their names. False: see `problem`; files without a name are thrown away.
    bool commit();

    // In plain words, empty while all is well: "out/mugs.csv could not be written: the disk is
    // full".
    std::string problem() const;
    // Of the files, in the order of the alphabet, with the folder before them.
    std::vector<std::string> written() const;

  private:
    struct Prepared {
        std::string name;
        std::string hidden;
    };

    bool open();
    bool open_lock();
    void clear_leftovers();
    void fail(std::string what, int error_number);
    std::string path_of(const std::string& name) const;

    std::string path_;
    std::string run_; // what the hidden names of this run begin with
    int folder_ = -1;
    int lock_ = -1; // the first file, locked: other runs see by it that this one is alive
    mutable std::mutex guard_;
    std::vector<Prepared> prepared_; // the first one is the locked one
    std::vector<std::string> done_;
    std::string problem_;
    std::atomic<bool> failed_ = false;
    bool opened_ = false;
};

} // namespace fettle
