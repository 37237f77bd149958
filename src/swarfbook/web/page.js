// The terminal takes keys from the start, without a click into it first: once its socket is open, since it
// says over the socket that it got the focus.
window.addEventListener("load", () => {
  const watching = new MutationObserver(() => {
    if (document.body.classList.contains("-loaded")) {
      watching.disconnect();
      document.querySelector("textarea.xterm-helper-textarea").focus();
    }
  });
  watching.observe(document.body, { attributeFilter: ["class"] });
});
