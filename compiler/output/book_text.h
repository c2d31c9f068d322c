// A kiln's book of firings for the terminal: its lines, and what wears.
#pragma once

#include "compiler/judging/book.h"
#include "compiler/output/show.h"

#include <string>
#include <vector>

namespace fettle {

std::string book_text(const Book& book, std::string_view title, const ShowOptions& options);

// What can be said of each part that wears.
std::vector<std::string> wear_lines(const std::vector<WearTrend>& trends);

} // namespace fettle
