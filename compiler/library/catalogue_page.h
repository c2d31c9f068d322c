// The pages of a catalogue as HTML.
#pragma once

#include "compiler/library/catalogue.h"
#include "compiler/library/catalogue_items.h"

#include <string>

namespace fettle {

// A firing that a page shows: its own, or a sample of a template or phase.
struct ShownFiring {
    const CompiledFiring* compiled = nullptr; // nothing: none
    std::string sample;                       // "thickness: 8mm"; of a sample
    std::vector<std::string> downloads;       // names of files
};

std::string item_page(const CatalogueItems& items, std::size_t item, const ShownFiring& shown);
std::string index_page(const CatalogueItems& items);
std::string index_json(const CatalogueItems& items,
                       const std::vector<std::vector<std::string>>& downloads);

} // namespace fettle
