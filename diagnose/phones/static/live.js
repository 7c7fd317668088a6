"use strict";
// Tells that another phone has answered; a page that only shows follows by itself.
const at = document.body.dataset;
if (at.live && window.EventSource) {
  new EventSource(at.live).onmessage = (told) => {
    if (told.data === at.count) return;
    if ("follow" in at) location.replace(location.pathname);
    else document.getElementById("other").hidden = false;
  };
}
