"""parse_xml.py FILE...: each must be well-formed XML whose `id`s are there only once."""

import sys
import xml.etree.ElementTree as tree

for path in sys.argv[1:]:
    ids = [e.get("id") for e in tree.parse(path).iter() if e.get("id")]
    if len(ids) != len(set(ids)):
        sys.exit(f"{path}: an id is there twice")
