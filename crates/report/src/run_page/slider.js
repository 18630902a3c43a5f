  // Pictures of the family: the slider shows one of them.
  var slider = document.getElementById("seats");
  if (slider) {
    var input = slider.querySelector("input");
    var output = slider.querySelector("output");
    var frames = Array.prototype.slice.call(slider.querySelectorAll(".frame"));
    var show = function () {
      var words = frames[input.value].dataset.words;
      frames.forEach(function (frame, index) { frame.classList.toggle("shown", index === Number(input.value)); });
      output.textContent = words;
      input.setAttribute("aria-valuetext", words);
    };
    slider.classList.add("live");
    slider.querySelector(".control").hidden = false;
    input.addEventListener("input", show);
    show();
  }
