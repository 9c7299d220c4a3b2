/* Small conveniences; every page works without them.

   form[data-rows]          a formset whose next rows can be added on the page: it holds
                            <template> with one empty row (__prefix__ in its names), an
                            element .rows that takes new rows, and button[data-add-row]
                            (hidden until this file runs).
   form.once                goes out once, however often its button is pressed
   button[data-print]       prints the page (hidden until this file runs)
   tables                   cells without a data-label take the words of their column's
                            head, so that rows can be read on a phone, and
                            empty ones are left out there
   .errors                  takes the focus, so that it is read first
   #spoken                  says in words when a part of a page could not be reached */
"use strict";

(() => {
  const labelCells = (table) => {
    const heads = [...table.querySelectorAll(":scope > thead > tr:last-child > *")];
    if (!heads.length) {
      return;
    }
    for (const row of table.querySelectorAll(":scope > tbody > tr, :scope > tfoot > tr")) {
      let column = 0;
      for (const cell of row.cells) {
        const head = heads[column];
        if (cell.tagName === "TD" && head && !cell.dataset.label && head.textContent.trim()) {
          cell.dataset.label = head.textContent.trim();
        }
        if (!cell.textContent.trim() && !cell.querySelector("img, svg, input, select, textarea")) {
          cell.dataset.empty = "";
        }
        column += cell.colSpan;
      }
    }
  };

  // The device's own time zone, where nobody chose another yet.
  const chooseZone = (select) => {
    const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
    const isListed = [...select.options].some((option) => option.value === zone);
    if (isListed && select.value === select.dataset.deviceZone) {
      select.value = zone;
    }
  };

  const wake = (root) => {
    for (const button of root.querySelectorAll("button[data-print], button[data-add-row]")) {
      button.hidden = false;
    }
    for (const table of root.querySelectorAll("main table:not(.keep)")) {
      labelCells(table);
    }
    const errors = root.querySelector(".errors");
    if (errors) {
      errors.focus();
    } else {
      root.querySelectorAll("select[data-device-zone]").forEach(chooseZone);
    }
  };

  const addRow = (form) => {
    const count = form.querySelector('input[name$="-TOTAL_FORMS"]');
    const model = form.querySelector("template");
    const rows = form.querySelector(".rows");
    if (!count || !model || !rows) {
      return;
    }
    const index = Number(count.value);
    const shell = document.createElement("template");
    shell.innerHTML = model.innerHTML
      .replaceAll("__prefix__", String(index))
      .replaceAll("__number__", String(index + 1));
    rows.append(shell.content);
    count.value = String(index + 1);
    const field = rows.lastElementChild.querySelector("input:not([type=hidden]), select, textarea");
    if (field) {
      field.focus();
    }
  };

  document.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (!button) {
      return;
    }
    if (button.matches("[data-print]")) {
      window.print();
    } else if (button.matches("[data-add-row]")) {
      event.preventDefault();
      addRow(button.closest("form[data-rows]"));
    }
  });

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (!form.matches("form.once")) {
      return;
    }
    if (form.dataset.sent) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
    for (const button of form.querySelectorAll("button[type=submit]")) {
      button.setAttribute("aria-busy", "true");
    }
  });

  // A page that comes back from the browser's memory may be sent again.
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) {
      for (const form of document.querySelectorAll("form.once")) {
        delete form.dataset.sent;
        for (const button of form.querySelectorAll("[aria-busy]")) {
          button.removeAttribute("aria-busy");
        }
      }
    }
  });

  const say = (which) => {
    const spoken = document.getElementById("spoken");
    if (spoken) {
      spoken.textContent = which ? spoken.dataset[which] : "";
    }
  };
  document.addEventListener("htmx:sendError", () => say("noAnswer"));
  document.addEventListener("htmx:timeout", () => say("noAnswer"));
  document.addEventListener("htmx:responseError", () => say("refused"));
  document.addEventListener("htmx:beforeRequest", () => say(""));
  document.addEventListener("htmx:afterSwap", (event) => wake(event.target));

  // Pressing a button ends the field that was typed into, and what is fetched for it may
  // come in before the button is let go: it would move the button away from under the
  // pointer, and the press would be lost.
  let isHeld = false;
  document.addEventListener(
    "pointerdown",
    (event) => {
      isHeld = Boolean(event.target.closest("button[type=submit]"));
    },
    true,
  );
  for (const name of ["pointerup", "pointercancel"]) {
    const letGo = () => {
      isHeld = false;
    };
    document.addEventListener(name, () => window.setTimeout(letGo), true);
  }
  document.addEventListener("htmx:beforeSwap", (event) => {
    if (isHeld) {
      event.detail.shouldSwap = false;
    }
  });

  wake(document);
})();
