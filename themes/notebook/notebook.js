// Keeps the site at hand on a field without signal, where it is served over https. Nothing else happens here.
(() => {
  "use strict";
  const own = document.currentScript && document.currentScript.src;
  if (location.protocol === "https:" && "serviceWorker" in navigator && own) {
    const top = new URL("../", own);
    navigator.serviceWorker.register(new URL("sw.js", top), { scope: top.pathname }).catch(() => {});
  }
})();
