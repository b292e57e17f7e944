// On a narrow page the list of contents starts folded.
if (matchMedia("(max-width: 43.99rem)").matches) document.querySelector("nav details").open = false;
for (const pair of document.querySelectorAll("[data-slides]")) {
  const slide = document.createElement("input");
  Object.assign(slide, { type: "range", min: 0, max: 100, value: 50, className: "slide" });
  slide.setAttribute("aria-label", "How much of the later picture is shown: " + pair.querySelector(".about").textContent.trim());
  const move = () => {
    pair.style.setProperty("--cut", 100 - slide.value + "%");
    slide.setAttribute("aria-valuetext", slide.value + " percent after");
  };
  slide.addEventListener("input", move);
  const sides = pair.querySelector(".sides"), image = sides.querySelector("img");
  // A tall picture and its handle fit on one screen.
  sides.style.maxWidth = "min(52rem, " + (75 * image.width) / image.height + "vh)";
  sides.append(slide);
  pair.classList.add("slides");
  move();
}
