// The terminal takes keys from the start, without a click into it first. textual.js opens it on load, too.
window.addEventListener("load", () => {
  document.querySelector("textarea.xterm-helper-textarea").focus();
});
