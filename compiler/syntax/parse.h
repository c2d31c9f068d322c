// Takes a `SourceFile`, gives a `Tree`. A file that does not parse whole still gives a tree of what
// does; each mistake gives one diagnostic.
#pragma once

#include "compiler/source/diagnostic.h"
#include "compiler/source/source_file.h"
#include "compiler/syntax/tree.h"

namespace fettle {

// Never throws; nesting is bounded (64 levels, language limit), so that no input overflows the
// stack.
Tree parse(FileId file, const SourceFile& source, Diagnostics& diagnostics);

} // namespace fettle
