// Ctrl-C and the like, for commands that have something to clear up first.
#pragma once

namespace fettle {

// From now on SIGINT, SIGTERM and SIGHUP only set a mark; a second one ends the program at once.
void stop_on_signals();
bool stop_requested();
// Ends the program the way the signal would have: to be called when all is cleared up. Does nothing
// where no signal came.
void stop_if_requested();

} // namespace fettle
