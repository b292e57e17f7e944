// On a narrow page the list of contents starts folded.
if (matchMedia("(max-width: 43.99rem)").matches) document.querySelector("nav details").open = false;
// What is led to is opened first.
const reveal = () => {
  const id = decodeURIComponent(location.hash.slice(1));
  const fold = id && document.getElementById(id)?.closest("details:not([open])");
  if (fold) {
    fold.open = true;
    document.getElementById(id).scrollIntoView();
  }
};
addEventListener("hashchange", reveal);
reveal();
for (const pair of document.querySelectorAll("[data-slides]")) {
  const slide = document.createElement("input");
  Object.assign(slide, { type: "range", min: 0, max: 100, value: 50, className: "slide" });
  slide.setAttribute("aria-label", "Where the earlier picture ends and the later begins: " + pair.querySelector(".about").textContent.trim());
  const move = () => {
    pair.style.setProperty("--cut", slide.value + "%");
    slide.setAttribute("aria-valuetext", slide.value + " percent before, " + (100 - slide.value) + " percent after");
  };
  slide.addEventListener("input", move);
  const sides = pair.querySelector(".sides"), image = sides.querySelector("img");
  const drag = (event) => {
    if (event.type === "pointermove" && !event.buttons) return;
    const box = image.getBoundingClientRect();
    slide.value = ((event.clientX - box.left) / box.width) * 100;
    move();
  };
  for (const frame of sides.querySelectorAll(".frame")) {
    frame.addEventListener("pointerdown", drag);
    frame.addEventListener("pointermove", drag);
    frame.addEventListener("dragstart", (event) => event.preventDefault());
  }
  // A tall picture and its handle fit on one screen.
  sides.style.maxWidth = "min(" + image.width + "px, 100%, " + (75 * image.width) / image.height + "vh)";
  sides.append(slide);
  pair.classList.add("slides");
  move();
}
