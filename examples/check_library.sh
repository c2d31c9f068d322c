#!/usr/bin/env bash
# What a change to a library has to pass before it is taken: the one layout, no errors, all tests,
# and a version that rises as the change asks for.
#
#     bash check_library.sh [FOLDER] [LAST]
#
# FOLDER is the library (the folder at hand). LAST is the version before: an archive, or a revision
# of its git repository (the last tag, where there is one). Put the program into FETTLE if it is not
# on the path. Into the folder `checked` come the messages as SARIF and the page of what changed.
set -uo pipefail
fettle=${FETTLE:-fettle}
folder=${1:-.}
last=${2:-$(git -C "$folder" describe --tags --abbrev=0 2>/dev/null || true)}
failed=no

step() {
    local what=$1
    shift
    echo "== $what"
    "$@" || {
        echo "This did not pass: $what"
        failed=yes
    }
}

mkdir -p checked
step "the one layout" "$fettle" format --check "$folder"
step "what it needs is what was locked" "$fettle" library resolve --quiet "$folder"
"$fettle" check --report sarif "$folder" >checked/messages.sarif
step "no errors" "$fettle" check "$folder"
step "all tests" "$fettle" test "$folder"
if [ -n "$last" ]; then
    step "the version rises as the change since $last asks for" \
        "$fettle" library difference "$last" "$folder" --into checked
else
    echo "There is no version before this one to compare with."
fi
[ $failed = no ]
