// JupyterLite takes the notebook out of the address once it has opened it. A page that is loaded again shows it again.
(() => {
  const here = new URL(location.href);
  const asked = here.searchParams.get("path");
  if (asked) {
    sessionStorage.setItem("rungbook-path", asked);
  } else if (sessionStorage.getItem("rungbook-path")) {
    here.searchParams.set("path", sessionStorage.getItem("rungbook-path"));
    history.replaceState(null, "", here);
  }
})();
