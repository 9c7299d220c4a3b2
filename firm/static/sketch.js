/* Taps on a bed's sketch become places in metres; the page works by numbers without.

   .sketch-plan[data-reach]   the plan: a square that reaches so many metres from the
                              bed's middle to each side, north at the top
   form[data-sketch-form]     its hidden field "points" takes "east,north" once for a
                              tree or shrub, twice for a wall, fence or hedge
   [data-tapped]              says in words what was tapped */
"use strict";

(() => {
  const form = document.querySelector("form[data-sketch-form]");
  if (!form) {
    return;
  }
  const points = form.elements.namedItem("points");
  const kind = form.elements.namedItem("kind");
  const told = form.querySelector("[data-tapped]");
  const words = told.querySelector("[data-tapped-words]");
  const SIDE = 340;
  const SVG = "http://www.w3.org/2000/svg";

  const isCrown = () => ["tree", "shrub"].includes(kind.value);
  const tapped = () => points.value.split(" ").filter(Boolean);

  const mark = () => {
    const plan = document.querySelector(".sketch-plan");
    const svg = plan && plan.querySelector("svg");
    if (!svg) {
      return;
    }
    const reach = Number(plan.dataset.reach);
    svg.querySelectorAll("[data-mark]").forEach((each) => each.remove());
    const places = tapped().map((part) => {
      const [east, north] = part.split(",").map(Number);
      return [SIDE / 2 + (east / reach) * SIDE / 2, SIDE / 2 - (north / reach) * SIDE / 2];
    });
    for (const [x, y] of places) {
      const dot = document.createElementNS(SVG, "circle");
      dot.setAttribute("cx", x);
      dot.setAttribute("cy", y);
      dot.setAttribute("r", 6);
      dot.setAttribute("fill", "none");
      dot.setAttribute("stroke-width", 2.5);
      dot.setAttribute("class", "warn-line");
      dot.dataset.mark = "";
      svg.append(dot);
    }
    if (places.length === 2) {
      const run = document.createElementNS(SVG, "line");
      [["x1", 0, 0], ["y1", 0, 1], ["x2", 1, 0], ["y2", 1, 1]].forEach(([name, at, axis]) =>
        run.setAttribute(name, places[at][axis]),
      );
      run.setAttribute("stroke-width", 2.5);
      run.setAttribute("class", "warn-line");
      run.dataset.mark = "";
      svg.append(run);
    }
  };

  const tell = () => {
    const count = tapped().length;
    told.hidden = count === 0;
    if (count) {
      words.textContent = isCrown()
        ? told.dataset.crown
        : count === 1
          ? told.dataset.start
          : told.dataset.wall;
    }
    mark();
  };

  const forget = () => {
    points.value = "";
    tell();
  };

  document.addEventListener("click", (event) => {
    if (event.target.closest("[data-forget-taps]")) {
      forget();
      return;
    }
    const svg = event.target.closest(".sketch-plan svg");
    if (!svg || !kind.value) {
      if (svg) {
        kind.focus();
      }
      return;
    }
    const reach = Number(svg.closest(".sketch-plan").dataset.reach);
    const box = svg.getBoundingClientRect();
    const east = ((event.clientX - box.left) / box.width - 0.5) * 2 * reach;
    const north = (0.5 - (event.clientY - box.top) / box.height) * 2 * reach;
    const point = `${east.toFixed(2)},${north.toFixed(2)}`;
    const before = tapped();
    points.value = isCrown() || before.length !== 1 ? point : `${before[0]} ${point}`;
    tell();
  });

  kind.addEventListener("change", () => {
    if (tapped().length !== (isCrown() ? 1 : 2)) {
      forget();
    } else {
      tell();
    }
  });
  // Numbers that are typed after a tap are meant.
  for (const name of ["side", "bearing_deg", "distance"]) {
    form.elements.namedItem(name).addEventListener("input", forget);
  }
  document.addEventListener("htmx:afterSwap", tell);
  document.querySelectorAll(".sketch-plan").forEach((plan) => plan.classList.add("is-tapped"));
  tell();
})();
