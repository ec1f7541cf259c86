// What code adds to the desk: the result while pasting, copying, files, the way between marks and statements.
// Without it every form and every link still works.
"use strict";

const news = document.getElementById("news");
const result = document.getElementById("result");
let asking = null;

// Says something to whoever listens; `seen` also shows it for a while.
function say(words, seen = true) {
  news.textContent = words;
  news.classList.toggle("seen", seen);
  if (seen) setTimeout(() => news.classList.remove("seen"), 4000);
}

// Asks for the page of a form and shows its result in place; what was asked before is dropped.
function explain(form) {
  if (asking) asking.abort();
  const request = new XMLHttpRequest();
  asking = request;
  request.open("POST", form.action);
  request.responseType = "document";
  request.onload = () => {
    const page = request.response;
    const fresh = page && page.getElementById("result");
    if (!fresh) {
      // A refusal is a page of its own.
      const words = page && page.querySelector("main p");
      say(words ? words.textContent : "There was no answer.");
      result.replaceChildren(...(page ? page.querySelectorAll("main p") : []));
      return;
    }
    result.replaceChildren(...fresh.childNodes);
    dress(result);
    document.body.classList.add("explained");
    const first = form.id === "paste";
    if (!first) {
      // The first text is carried now; a change of the box would not reach it.
      document.getElementById("begin").hidden = true;
      const again = document.createElement("p");
      const link = document.createElement("a");
      link.href = "/";
      link.textContent = "Explain another text";
      again.append(link);
      result.append(again);
      window.scrollTo(0, 0);
    }
    const headline = result.querySelector("h1");
    document.title = headline.textContent + " · mastside desk";
    say(headline.textContent, false);
  };
  request.onerror = () => say("The desk does not answer. Is it still running?");
  request.send(new URLSearchParams(new FormData(form)));
}

function copied(text, button) {
  const done = () => {
    say("Copied");
    button.textContent = "Copied";
    setTimeout(() => (button.textContent = button.dataset.name), 2000);
  };
  navigator.clipboard.writeText(text).then(done, () => say("The browser did not allow copying."));
}

function copyButton(name) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "copy";
  button.dataset.name = name;
  button.textContent = name;
  return button;
}

// Gives a part of the page what only code can do.
function dress(part) {
  for (const block of part.querySelectorAll("pre.block")) {
    const button = copyButton("Copy");
    const fold = block.closest("details");
    const of = fold ? fold.querySelector("summary").textContent : "the commands";
    button.setAttribute("aria-label", "Copy: " + of);
    button.addEventListener("click", () => copied(block.textContent, button));
    block.before(button);
  }
  for (const form of part.querySelectorAll(".pass-on form")) {
    const save = form.querySelector("button[value=redacted]");
    const button = copyButton("Copy redacted text");
    button.addEventListener("click", () => {
      const fields = new URLSearchParams(new FormData(form));
      fields.set("form", save.value);
      fetch(form.action, { method: "POST", body: fields })
        .then((answer) => (answer.ok ? answer.text() : Promise.reject(answer)))
        .then((text) => copied(text, button), () => say("There was no answer."));
    });
    save.after(button);
  }
  for (const form of part.querySelectorAll("form.live")) listen(form);
}

function listen(form) {
  const box = form.querySelector("textarea");
  let pause;
  form.addEventListener("submit", (event) => {
    if (!result) return;
    event.preventDefault();
    clearTimeout(pause);
    explain(form);
  });
  box.addEventListener("keydown", (event) => {
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) form.requestSubmit();
  });
  if (form.id !== "paste") return;
  box.addEventListener("input", () => {
    clearTimeout(pause);
    pause = setTimeout(() => box.value.trim() && explain(form), 250);
  });
}

// A link to something folded away opens it; the target is announced by its outline.
document.addEventListener("click", (event) => {
  const link = event.target.closest("a[href^='#']");
  const target = link && document.getElementById(link.getAttribute("href").slice(1));
  if (!target) return;
  for (let fold = target.closest("details"); fold; fold = fold.parentElement.closest("details")) {
    fold.open = true;
  }
  // Focus follows, so that the keyboard goes on from there.
  if (!target.matches("a, main")) target.tabIndex = -1;
  setTimeout(() => target.focus({ preventScroll: true }));
});

// Bytes of a file as text: UTF-16 where it begins with its mark, else UTF-8, else Latin 1.
function decoded(bytes) {
  const [one, two] = new Uint8Array(bytes, 0, Math.min(2, bytes.byteLength));
  if (one === 0xff && two === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  if (one === 0xfe && two === 0xff) return new TextDecoder("utf-16be").decode(bytes);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}

function take(files, box) {
  const reads = Array.from(files, (file) => file.arrayBuffer().then(decoded));
  Promise.all(reads).then(
    (texts) => {
      box.value = texts.join("\n");
      box.dispatchEvent(new Event("input"));
    },
    () => say("A file could not be read."),
  );
}

const paste = document.getElementById("paste");
if (paste) {
  const box = paste.querySelector("textarea");
  for (const extra of paste.querySelectorAll(".with-code")) extra.hidden = false;
  paste.querySelector("input[type=file]").addEventListener("change", (event) => {
    take(event.target.files, box);
  });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    if (!event.dataTransfer.files.length) return;
    event.preventDefault();
    const open = document.getElementById("begin").hidden ? document.getElementById("answer") : box;
    take(event.dataTransfer.files, open || box);
  });
}
dress(document.body);
