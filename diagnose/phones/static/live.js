"use strict";
// Tells that another phone has answered; a page that only shows follows by itself, and the mentor's rows are put anew.
const at = document.body.dataset;
const seats = document.getElementById("seats");
const watch = (where, told) => {
  const stream = new EventSource(where);
  stream.onmessage = (one) => told(one.data);
  addEventListener("submit", () => stream.close()); // what comes of it is on the page that is on its way
};
if (at.live && window.EventSource) {
  watch(at.live, (count) => {
    if (count === at.count) return;
    if ("follow" in at) location.replace(location.pathname);
    else document.getElementById("other").hidden = false;
  });
}
if (seats && seats.dataset.seats && window.EventSource) {
  watch(seats.dataset.seats, (rows) => {
    const held = seats.contains(document.activeElement) ? document.activeElement.id : "";
    seats.innerHTML = rows;
    if (held) document.getElementById(held)?.focus();
  });
}
