  var viewer = document.getElementById("viewer");
  var packed = document.getElementById("scene");
  if (viewer && packed) { startViewer(viewer, JSON.parse(packed.textContent)); }

  // The part in a view that turns: parallel projection, drawn anew only when something changes.
  function startViewer(root, scene) {
    var canvas = root.querySelector("canvas");
    var gl = canvas.getContext("webgl", { antialias: true, alpha: false });
    if (!gl) { return; }
    var program = link(gl,
      "attribute vec3 place; attribute vec3 normal; uniform mat3 turn; uniform vec3 middle; uniform vec2 zoom; uniform vec2 pan;" +
      "uniform float depth; uniform float lift; varying vec3 seen; varying vec3 world;" +
      "void main() { world = place; vec3 p = turn * (place - middle); seen = turn * normal;" +
      "gl_Position = vec4((p.xy + pan) * zoom, -p.z * depth - lift, 1.0); }",
      "precision mediump float; uniform vec4 colour; uniform vec4 plane; uniform vec4 cut; uniform float flat_; varying vec3 seen; varying vec3 world;" +
      "void main() { if (dot(world, plane.xyz) > plane.w) discard; if (flat_ > 0.5) { gl_FragColor = colour; return; }" +
      "if (!gl_FrontFacing) { float s = mod(gl_FragCoord.x + gl_FragCoord.y, 9.0); gl_FragColor = s < 1.6 ? vec4(cut.rgb * 0.45, cut.a) : cut; return; }" +
      "vec3 n = normalize(seen); float light = 0.45 + 0.4 * max(0.0, dot(n, vec3(-0.35, 0.62, 0.7))) + 0.2 * max(0.0, dot(n, vec3(0.6, -0.2, 0.77)));" +
      "gl_FragColor = vec4(colour.rgb * light, colour.a); }");
    var groups = unpack(gl, scene);
    var state = { group: "all", yaw: -0.46, pitch: 0.32, zoom: 1, pan: [0, 0], plane: "", share: 1, shown: { part: true, tool: true, body: true, free: true } };
    var letters = groups.map(function (group) {
      var tag = document.createElement("span");
      tag.textContent = group.letter;
      root.querySelector(".letters").appendChild(tag);
      return tag;
    });
    var asked = false;
    function redraw() { if (!asked) { asked = true; requestAnimationFrame(function () { asked = false; draw(); }); } }

    function visible() {
      // All: the parts of the family, without plates of coupons, unless there is nothing else.
      var family = groups.filter(function (group) { return !/^coupons/.test(group.letter); });
      if (state.group === "all") { return family.length ? family : groups; }
      return groups.filter(function (group) { return group.letter === state.group; });
    }
    // Groups stand side by side, by the boxes of their parts and tools.
    function arrange(list) {
      var at = 0;
      var low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
      list.forEach(function (group) {
        var box = boxOf(group);
        group.shift = [at - box.low[0], 0, 0];
        at += box.high[0] - box.low[0] + 10;
        for (var k = 0; k < 3; k++) {
          low[k] = Math.min(low[k], box.low[k] + group.shift[k]);
          high[k] = Math.max(high[k], box.high[k] + group.shift[k]);
        }
      });
      return { low: low, high: high };
    }
    function boxOf(group) {
      var low = [Infinity, Infinity, Infinity], high = [-Infinity, -Infinity, -Infinity];
      group.meshes.forEach(function (mesh) {
        if (!state.shown[mesh.kind] && mesh.kind !== "part") { return; }
        for (var k = 0; k < 3; k++) {
          low[k] = Math.min(low[k], mesh.low[k]);
          high[k] = Math.max(high[k], mesh.low[k] + mesh.size[k]);
        }
      });
      return { low: low, high: high };
    }
    function colours() {
      var style = getComputedStyle(root);
      return function (name, alpha) {
        var hex = style.getPropertyValue(name).trim();
        var parse = function (from) { return parseInt(hex.slice(from, from + 2), 16) / 255; };
        return [parse(1), parse(3), parse(5), alpha];
      };
    }

    function draw() {
      var ratio = window.devicePixelRatio || 1;
      var width = Math.max(1, Math.round(canvas.clientWidth * ratio)), height = Math.max(1, Math.round(canvas.clientHeight * ratio));
      if (canvas.width !== width || canvas.height !== height) { canvas.width = width; canvas.height = height; }
      var list = visible();
      var box = arrange(list);
      var middle = [0, 1, 2].map(function (k) { return 0.5 * (box.low[k] + box.high[k]); });
      var radius = 0.5 * Math.hypot(box.high[0] - box.low[0], box.high[1] - box.low[1], box.high[2] - box.low[2]) || 1;
      var turn = turned(state.yaw, state.pitch);
      var reach = extent(box, middle, turn);
      var fit = state.zoom * Math.min(0.92 * width / (2 * reach[0] || 1), 0.88 * height / (2 * reach[1] || 1));
      var zoom = [2 * fit / width, 2 * fit / height];
      state.mmPerPx = ratio / fit;
      var colour = colours();
      gl.viewport(0, 0, width, height);
      var back = colour("--sheet", 1);
      gl.clearColor(back[0], back[1], back[2], 1);
      gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
      gl.useProgram(program.name);
      gl.uniformMatrix3fv(program.at("turn"), false, turn);
      gl.uniform2fv(program.at("zoom"), zoom);
      gl.uniform2fv(program.at("pan"), state.pan);
      gl.uniform1f(program.at("depth"), 0.4 / radius);
      var axis = { x: 0, y: 1, z: 2 }[state.plane];
      var looks = {
        part: [colour("--model", 1), colour("--model-edge", 1)], tool: [colour("--tool", 0.55), colour("--soft", 0.9)],
        body: [colour("--body", 0.4), colour("--soft", 0.8)], free: [colour("--over", 0.22), colour("--over", 1)]
      };
      gl.enable(gl.DEPTH_TEST);
      [false, true].forEach(function (ghosts) {
        list.forEach(function (group) {
          // The group's own place: its meshes keep their axes.
          gl.uniform3fv(program.at("middle"), middle.map(function (m, k) { return m - group.shift[k]; }));
          var own = boxOf(group);
          var plane = [0, 0, 0, 1e9];
          if (axis !== undefined) {
            plane[axis] = 1;
            plane[3] = own.low[axis] + state.share * (own.high[axis] - own.low[axis]);
          }
          gl.uniform4fv(program.at("plane"), plane);
          group.meshes.forEach(function (mesh) {
            var ghost = mesh.kind !== "part";
            if (ghost !== ghosts || !state.shown[mesh.kind]) { return; }
            drawMesh(mesh, looks[mesh.kind], ghost, colour("--near", ghost ? 0.35 : 1));
          });
        });
      });
      gl.depthMask(true);
      placeLetters(list, box, middle, turn, zoom);
    }

    function drawMesh(mesh, look, ghost, cut) {
      if (ghost) { gl.enable(gl.BLEND); gl.blendFunc(gl.SRC_ALPHA, gl.ONE_MINUS_SRC_ALPHA); } else { gl.disable(gl.BLEND); }
      gl.depthMask(!ghost);
      gl.uniform1f(program.at("flat_"), 0);
      gl.uniform1f(program.at("lift"), 0);
      gl.uniform4fv(program.at("colour"), look[0]);
      gl.uniform4fv(program.at("cut"), cut);
      bind("place", mesh.faces, 24, 0);
      bind("normal", mesh.faces, 24, 12);
      // Of a ghost only the near side is drawn, unless it is cut.
      if (ghost && !state.plane) { gl.enable(gl.CULL_FACE); } else { gl.disable(gl.CULL_FACE); }
      gl.drawArrays(gl.TRIANGLES, 0, mesh.corners);
      gl.disable(gl.CULL_FACE);
      gl.uniform1f(program.at("flat_"), 1);
      gl.uniform1f(program.at("lift"), 0.0016);
      gl.uniform4fv(program.at("colour"), look[1]);
      bind("place", mesh.lines, 12, 0);
      gl.disableVertexAttribArray(program.attribute("normal"));
      gl.drawArrays(gl.LINES, 0, mesh.ends);
    }
    function bind(name, buffer, stride, offset) {
      var at = program.attribute(name);
      gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
      gl.enableVertexAttribArray(at);
      gl.vertexAttribPointer(at, 3, gl.FLOAT, false, stride, offset);
    }
    function placeLetters(list, box, middle, turn, zoom) {
      groups.forEach(function (group, index) {
        var tag = letters[index];
        tag.hidden = list.indexOf(group) < 0;
        if (tag.hidden) { return; }
        var own = boxOf(group);
        var top = [0.5 * (own.low[0] + own.high[0]) + group.shift[0], own.high[1], 0.5 * (own.low[2] + own.high[2])];
        var p = applied(turn, top.map(function (v, k) { return v - middle[k]; }));
        var x = (p[0] + state.pan[0]) * zoom[0], y = (p[1] + state.pan[1]) * zoom[1];
        tag.style.left = Math.min(97, Math.max(3, 50 + 50 * x)) + "%";
        tag.style.top = Math.min(96, Math.max(4, 50 - 50 * y - 2)) + "%";
      });
    }

    var views = { corner: [-0.46, 0.32], along: [Math.PI, 0], side: [-Math.PI / 2, 0], above: [Math.PI, Math.PI / 2], below: [Math.PI, -Math.PI / 2] };
    function view(name) { state.yaw = views[name][0]; state.pitch = views[name][1]; state.zoom = 1; state.pan = [0, 0]; redraw(); }
    root.querySelectorAll("button[data-view]").forEach(function (button) {
      button.addEventListener("click", function () { view(button.dataset.view); });
    });
    root.querySelectorAll("input[data-kind]").forEach(function (box) {
      box.addEventListener("change", function () { state.shown[box.dataset.kind] = box.checked; redraw(); });
    });
    root.querySelector("select[data-group]").addEventListener("change", function (event) { state.group = event.target.value; state.pan = [0, 0]; state.zoom = 1; redraw(); });
    var slide = root.querySelector("input[data-share]");
    root.querySelector("select[data-plane]").addEventListener("change", function (event) {
      state.plane = event.target.value;
      slide.disabled = !state.plane;
      if (state.plane) { slide.value = 50; state.share = 0.5; }
      redraw();
    });
    slide.addEventListener("input", function () { state.share = slide.value / 100; redraw(); });

    function turnBy(yaw, pitch) { state.yaw += yaw; state.pitch = Math.max(-Math.PI / 2, Math.min(Math.PI / 2, state.pitch + pitch)); redraw(); }
    function zoomBy(factor) { state.zoom = Math.max(0.3, Math.min(40, state.zoom * factor)); redraw(); }
    function panBy(dx, dy) { state.pan = [state.pan[0] + dx, state.pan[1] + dy]; redraw(); }
    canvas.addEventListener("keydown", function (event) {
      if (event.ctrlKey || event.metaKey || event.altKey) { return; }
      var step = 10 * state.mmPerPx * 2;
      var moves = event.shiftKey ?
        { ArrowLeft: [panBy, -step, 0], ArrowRight: [panBy, step, 0], ArrowUp: [panBy, 0, step], ArrowDown: [panBy, 0, -step] } :
        { ArrowLeft: [turnBy, -0.14, 0], ArrowRight: [turnBy, 0.14, 0], ArrowUp: [turnBy, 0, 0.14], ArrowDown: [turnBy, 0, -0.14] };
      var others = { "+": [zoomBy, 1.2], "=": [zoomBy, 1.2], "-": [zoomBy, 1 / 1.2], "0": [view, "corner"], "1": [view, "along"], "2": [view, "side"], "3": [view, "above"], "4": [view, "below"] };
      var move = moves[event.key] || others[event.key];
      if (move) { move[0](move[1], move[2]); event.preventDefault(); }
    });
    var fingers = {};
    canvas.addEventListener("pointerdown", function (event) { fingers[event.pointerId] = [event.clientX, event.clientY]; canvas.setPointerCapture(event.pointerId); });
    ["pointerup", "pointercancel"].forEach(function (name) { canvas.addEventListener(name, function (event) { delete fingers[event.pointerId]; }); });
    canvas.addEventListener("pointermove", function (event) {
      var before = fingers[event.pointerId];
      if (!before) { return; }
      var now = [event.clientX, event.clientY], dx = now[0] - before[0], dy = now[1] - before[1];
      var others = Object.keys(fingers).filter(function (id) { return Number(id) !== event.pointerId; });
      if (others.length) {
        var other = fingers[others[0]];
        var was = Math.hypot(before[0] - other[0], before[1] - other[1]), is = Math.hypot(now[0] - other[0], now[1] - other[1]);
        if (was > 0 && is > 0) { zoomBy(is / was); }
        panBy(0.5 * dx * state.mmPerPx, -0.5 * dy * state.mmPerPx);
      } else if (event.shiftKey || event.buttons === 2) {
        panBy(dx * state.mmPerPx, -dy * state.mmPerPx);
      } else {
        turnBy(0.009 * dx, 0.009 * dy);
      }
      fingers[event.pointerId] = now;
    });
    canvas.addEventListener("contextmenu", function (event) { event.preventDefault(); });
    // The wheel scrolls the page until somebody has clicked on the part.
    canvas.addEventListener("wheel", function (event) {
      if (document.activeElement === canvas) { zoomBy(Math.exp(-0.0015 * event.deltaY)); event.preventDefault(); }
    }, { passive: false });
    canvas.addEventListener("webglcontextlost", function () { root.hidden = true; document.documentElement.classList.remove("turns"); });
    window.matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redraw);
    new ResizeObserver(redraw).observe(canvas);
    root.hidden = false;
    document.documentElement.classList.add("turns");
    redraw();
  }

  function link(gl, vertex, fragment) {
    var name = gl.createProgram();
    [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]].forEach(function (pair) {
      var shader = gl.createShader(pair[0]);
      gl.shaderSource(shader, pair[1]);
      gl.compileShader(shader);
      gl.attachShader(name, shader);
    });
    gl.linkProgram(name);
    var known = {};
    return {
      name: name,
      at: function (key) { if (!(key in known)) { known[key] = gl.getUniformLocation(name, key); } return known[key]; },
      attribute: function (key) { var own = "a " + key; if (!(own in known)) { known[own] = gl.getAttribLocation(name, key); } return known[own]; }
    };
  }

  // Corners with the normals of their triangles, and ends of edges, as buffers.
  function unpack(gl, scene) {
    var text = atob(scene.bytes);
    var bytes = new Uint8Array(text.length);
    for (var i = 0; i < text.length; i++) { bytes[i] = text.charCodeAt(i); }
    function buffer(numbers) {
      var made = gl.createBuffer();
      gl.bindBuffer(gl.ARRAY_BUFFER, made);
      gl.bufferData(gl.ARRAY_BUFFER, numbers, gl.STATIC_DRAW);
      return made;
    }
    scene.groups.forEach(function (group) {
      group.meshes.forEach(function (mesh) {
        var steps = new Uint16Array(bytes.buffer, mesh.at, 3 * (mesh.vertices + 2 * mesh.edges));
        var point = function (index) {
          return [0, 1, 2].map(function (k) { return mesh.low[k] + mesh.size[k] * steps[3 * index + k] / 65535; });
        };
        var kind = mesh.wide ? Uint32Array : Uint16Array;
        var indices = new kind(bytes.buffer, mesh.triangles_at, 3 * mesh.triangles);
        var faces = new Float32Array(18 * mesh.triangles);
        for (var t = 0; t < mesh.triangles; t++) {
          var a = point(indices[3 * t]), b = point(indices[3 * t + 1]), c = point(indices[3 * t + 2]);
          var u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]], v = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
          var n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
          var length = Math.hypot(n[0], n[1], n[2]) || 1;
          [a, b, c].forEach(function (p, k) {
            faces.set([p[0], p[1], p[2], n[0] / length, n[1] / length, n[2] / length], 18 * t + 6 * k);
          });
        }
        var lines = new Float32Array(6 * mesh.edges);
        for (var e = 0; e < 2 * mesh.edges; e++) { lines.set(point(mesh.vertices + e), 3 * e); }
        mesh.faces = buffer(faces);
        mesh.corners = 3 * mesh.triangles;
        mesh.lines = buffer(lines);
        mesh.ends = 2 * mesh.edges;
      });
    });
    return scene.groups;
  }

  // Columns of the turn: the viewer looks along −z of the result, y is up.
  function turned(yaw, pitch) {
    var cy = Math.cos(yaw), sy = Math.sin(yaw), cp = Math.cos(pitch), sp = Math.sin(pitch);
    return [cy, sy * sp, -sy * cp, 0, cp, sp, sy, -cy * sp, cy * cp];
  }
  function applied(m, p) {
    return [0, 1, 2].map(function (k) { return m[k] * p[0] + m[3 + k] * p[1] + m[6 + k] * p[2]; });
  }
  // Half of the width and height of a turned box.
  function extent(box, middle, turn) {
    var reach = [0, 0];
    for (var corner = 0; corner < 8; corner++) {
      var p = applied(turn, [0, 1, 2].map(function (k) { return (corner >> k & 1 ? box.high[k] : box.low[k]) - middle[k]; }));
      reach = [Math.max(reach[0], Math.abs(p[0])), Math.max(reach[1], Math.abs(p[1]))];
    }
    return reach;
  }
