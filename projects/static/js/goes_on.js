// A page that shows how far a long piece of work is sends the form for its next part by itself.
document.querySelector("form[data-goes-on]")?.requestSubmit();
