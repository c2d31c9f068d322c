// Finds entries that have all the words that are typed. Without it, the whole list is there.
(function () {
  "use strict";
  var input = document.getElementById("search");
  var found = document.getElementById("found");
  var entries = Array.prototype.slice.call(document.querySelectorAll("li[data-words]"));
  var words = entries.map(function (entry) {
    return entry.getAttribute("data-words").toLowerCase().replace(/_/g, " ");
  });
  function search() {
    var wanted = input.value.toLowerCase().replace(/_/g, " ").split(/\s+/).filter(Boolean);
    var count = 0;
    entries.forEach(function (entry, i) {
      entry.hidden = !wanted.every(function (word) { return words[i].indexOf(word) >= 0; });
      if (!entry.hidden) { count += 1; }
    });
    document.querySelectorAll("section.kind, section.library").forEach(function (section) {
      section.hidden = section.querySelector("li:not([hidden])") === null;
    });
    found.textContent = count + (count === 1 ? " entry" : " entries");
    history.replaceState(null, "", wanted.length ? "#" + encodeURIComponent(input.value) : "#");
  }
  document.querySelector("section.search").hidden = false;
  input.addEventListener("input", search);
  if (location.hash.length > 1) {
    input.value = decodeURIComponent(location.hash.slice(1));
    search();
  }
}());
