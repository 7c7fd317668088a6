"use strict";
// Tells that another phone has answered; a page that only shows follows by itself, and the mentor's rows are put anew.
const at = document.body.dataset;
if (at.live && window.EventSource) {
  new EventSource(at.live).onmessage = (told) => {
    if (told.data === at.count) return;
    if ("follow" in at) location.replace(location.pathname);
    else document.getElementById("other").hidden = false;
  };
}
const seats = document.getElementById("seats");
if (seats && seats.dataset.seats && window.EventSource) {
  new EventSource(seats.dataset.seats).onmessage = (told) => {
    const held = seats.contains(document.activeElement) ? document.activeElement.id : "";
    seats.innerHTML = told.data;
    if (held) document.getElementById(held)?.focus();
  };
}
