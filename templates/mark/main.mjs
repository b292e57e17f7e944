document.querySelector("main").textContent = "The piece";
