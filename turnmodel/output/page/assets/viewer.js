// Draws the model: turned, cut by a plane along its axis, drawn apart step by step.

const FIELD = 0.25; // angle of view [rad]: as a long lens, so that lengths compare
const AIR = 1.06; // room round the object
const START = { yaw: 0.4, pitch: 0.3, zoom: 1 };

function createViewer(canvas) {
  const gl = canvas.getContext("webgl2", { alpha: true, antialias: true, stencil: true });
  if (!gl) return null;

  let model = null;
  let drawn = [];
  let programs = compiled();
  let waiting = false;
  const view = { ...START };
  const shown = { state: 0, cut: 0, round: 0, apart: 0, hidden: new Set() };

  function compiled() {
    return { body: program(gl, BODY_VERTEX, BODY_FRAGMENT), cut: program(gl, CUT_VERTEX, CUT_FRAGMENT) };
  }

  function load(next) {
    drawn.forEach(({ array, buffers }) => {
      gl.deleteVertexArray(array);
      buffers.forEach((buffer) => gl.deleteBuffer(buffer));
    });
    model = next;
    drawn = next.parts.map((part) => uploaded(gl, part));
    shown.state = Math.min(shown.state, next.states.length - 1);
    invalidate();
  }

  function set(change) {
    Object.assign(shown, change);
    invalidate();
  }

  function turn(yaw, pitch) {
    view.yaw += yaw;
    view.pitch += pitch;
    invalidate();
  }

  function zoom(by) {
    view.zoom = Math.min(12, Math.max(0.5, view.zoom * by));
    invalidate();
  }

  function look(next = START) {
    Object.assign(view, next);
    invalidate();
  }

  function invalidate() {
    if (waiting) return;
    waiting = true;
    requestAnimationFrame(() => {
      waiting = false;
      draw();
    });
  }

  // Where every part is, each step of the way apart begun when the one before it has ended.
  function stand() {
    const { root, placed, steps } = model.states[shown.state];
    const gone = {};
    steps.forEach((step, k) => {
      const share = Math.min(1, Math.max(0, shown.apart * steps.length - k));
      const eased = share * share * (3 - 2 * share);
      step.parts.forEach((name) => {
        gone[name] = plus(gone[name] || [0, 0, 0], step.shift, eased);
      });
    });
    return placed.map(({ name, part, matrix }) => {
      const place = product(root, product(shifted(gone[name] || [0, 0, 0]), matrix));
      return { name, part, place, corners: part.corners.map((corner) => placedPoint(place, corner)) };
    });
  }

  function draw() {
    if (!model || gl.isContextLost()) return;
    const ratio = Math.min(2, window.devicePixelRatio || 1);
    const [width, height] = [canvas.clientWidth, canvas.clientHeight].map((size) => Math.round(size * ratio));
    if (!width || !height) return;
    if (canvas.width !== width || canvas.height !== height) [canvas.width, canvas.height] = [width, height];

    const pieces = stand();
    const box = boxOf(pieces.flatMap((piece) => piece.corners));
    const camera = cameraFor(box, width / height);
    const plane = planeFor(pieces);

    gl.viewport(0, 0, width, height);
    gl.clearColor(0, 0, 0, 0);
    gl.clearStencil(0);
    gl.enable(gl.DEPTH_TEST);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT | gl.STENCIL_BUFFER_BIT);

    const visible = pieces.filter((piece) => !shown.hidden.has(piece.name));
    use(programs.body, camera);
    gl.enable(gl.CULL_FACE);
    visible.forEach((piece) => drawBody(piece, plane, camera));
    gl.disable(gl.CULL_FACE);
    if (!plane) return;
    visible
      .filter((piece) => !piece.part.bought)
      .forEach((piece) => drawCut(piece, plane, box, camera, (1.6 * box.half) / (width / ratio / 7)));
  }

  function cameraFor(box, aspect) {
    const [x, y, z] = box.size.map((size) => size / 2);
    const standing = y > Math.max(x, z);
    const wide = Math.max(x, z);
    const high = Math.hypot(y, standing ? wide : Math.min(x, z));
    const reach = Math.tan(FIELD / 2);
    // However it is turned, the end that comes nearer stays in the picture.
    const away = AIR * Math.max(Math.hypot(high / reach, high), Math.hypot(wide / (reach * aspect), wide));
    const distance = away / view.zoom;
    const turned = product(turnedRound("x", view.pitch), turnedRound("y", view.yaw));
    const matrix = product(shifted([0, 0, -distance]), product(turned, shifted(box.centre.map((c) => -c))));
    const near = Math.max(distance - 1.1 * box.half, distance * 0.02);
    return { view: matrix, projection: perspective(FIELD, aspect, near, distance + 1.1 * box.half) };
  }

  // The plane moves from beyond the object to its axis, from the side that looks at the reader.
  function planeFor(pieces) {
    if (shown.cut <= 0) return null;
    const { root } = model.states[shown.state];
    const axis = unit([root[8], root[9], root[10]]);
    const facing = [0, 0, 1];
    const side = cross(axis, facing);
    const normal = plus(facing.map((c) => c * Math.cos(shown.round)), side, Math.sin(shown.round));
    const made = pieces.filter((piece) => !piece.part.bought);
    const reach = Math.max(...made.flatMap((piece) => piece.corners.map((corner) => dot(corner, normal))));
    return { normal, level: reach * (1 - shown.cut), axis };
  }

  function use({ handle, at }, camera) {
    gl.useProgram(handle);
    gl.uniformMatrix4fv(at.view, false, camera.view);
    gl.uniformMatrix4fv(at.projection, false, camera.projection);
  }

  function drawBody({ part, place }, plane, camera) {
    const { at } = programs.body;
    const { array, count, kind } = drawn[model.parts.indexOf(part)];
    const cut = plane && !part.bought;
    gl.uniformMatrix4fv(at.place, false, place);
    gl.uniform1i(at.cut, cut ? 1 : 0);
    if (cut) gl.uniform4f(at.plane, ...plane.normal, plane.level);
    gl.uniform1i(at.lines, LINES[part.lines]);
    gl.uniform3fv(at["knurls[0]"], knurled(part));
    gl.uniform3fv(at.axis, unit(turnedBy(camera.view, [place[8], place[9], place[10]])));
    gl.uniform3fv(at.base, part.base);
    gl.uniform1f(at.metallic, part.metallic);
    gl.uniform1f(at.roughness, part.roughness);
    gl.bindVertexArray(array);
    gl.drawElements(gl.TRIANGLES, count, kind, 0);
  }

  // Where more back faces than front ones lie behind the plane, the plane runs through the part.
  function drawCut(piece, plane, box, camera, spacing) {
    gl.enable(gl.STENCIL_TEST);
    gl.clear(gl.STENCIL_BUFFER_BIT);
    gl.colorMask(false, false, false, false);
    gl.depthMask(false);
    gl.disable(gl.DEPTH_TEST);
    gl.stencilFunc(gl.ALWAYS, 0, 0xff);
    gl.stencilOpSeparate(gl.FRONT, gl.KEEP, gl.KEEP, gl.DECR_WRAP);
    gl.stencilOpSeparate(gl.BACK, gl.KEEP, gl.KEEP, gl.INCR_WRAP);
    use(programs.body, camera);
    drawBody(piece, plane, camera);

    gl.colorMask(true, true, true, true);
    gl.depthMask(true);
    gl.enable(gl.DEPTH_TEST);
    gl.stencilFunc(gl.NOTEQUAL, 0, 0xff);
    gl.stencilOp(gl.KEEP, gl.KEEP, gl.KEEP);
    const { at } = programs.cut;
    const number = model.parts.indexOf(piece.part);
    const over = cross(plane.normal, plane.axis);
    const foot = plus(box.centre, plane.normal, plane.level - dot(box.centre, plane.normal));
    use(programs.cut, camera);
    gl.uniform3fv(at.centre, foot);
    gl.uniform3fv(at.along, plane.axis.map((c) => 2 * box.half * c));
    gl.uniform3fv(at.over, over.map((c) => 2 * box.half * c));
    gl.uniform3fv(at.tint, piece.part.cut);
    gl.uniform1f(at.slant, number % 2 ? 1 : -1);
    gl.uniform1f(at.spacing, (spacing * (1 + 0.35 * (number % 3))) / (2 * box.half));
    gl.bindVertexArray(square);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
    gl.disable(gl.STENCIL_TEST);
  }

  let square = squared(gl);
  canvas.addEventListener("webglcontextlost", (event) => event.preventDefault());
  canvas.addEventListener("webglcontextrestored", () => {
    programs = compiled();
    square = squared(gl);
    drawn = [];
    load(model);
  });
  new ResizeObserver(invalidate).observe(canvas);
  return { load, set, turn, zoom, look, view, shown, draw };
}

function knurled({ knurls }) {
  return [...knurls.flat(), ...new Array(3 * KNURLS).fill(0)].slice(0, 3 * KNURLS);
}

function boxOf(points) {
  const [low, high] = [Math.min, Math.max].map((of) => [0, 1, 2].map((k) => of(...points.map((p) => p[k]))));
  const size = high.map((value, k) => value - low[k]);
  return { centre: low.map((value, k) => value + size[k] / 2), size, half: Math.hypot(...size) / 2 };
}

function program(gl, vertex, fragment) {
  const handle = gl.createProgram();
  [
    [gl.VERTEX_SHADER, vertex],
    [gl.FRAGMENT_SHADER, fragment],
  ].forEach(([kind, text]) => {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    gl.attachShader(handle, shader);
  });
  gl.bindAttribLocation(handle, 0, "position");
  gl.bindAttribLocation(handle, 1, "normal");
  gl.linkProgram(handle);
  if (!gl.getProgramParameter(handle, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(handle));
  const at = {};
  for (let k = 0; k < gl.getProgramParameter(handle, gl.ACTIVE_UNIFORMS); k++) {
    const { name } = gl.getActiveUniform(handle, k);
    at[name] = gl.getUniformLocation(handle, name);
  }
  return { handle, at };
}

function uploaded(gl, part) {
  const array = gl.createVertexArray();
  gl.bindVertexArray(array);
  const buffers = [part.positions, part.normals].map((values, place) => {
    const buffer = filled(gl, gl.ARRAY_BUFFER, values);
    gl.enableVertexAttribArray(place);
    gl.vertexAttribPointer(place, 3, gl.FLOAT, false, 0, 0);
    return buffer;
  });
  buffers.push(filled(gl, gl.ELEMENT_ARRAY_BUFFER, part.indices));
  gl.bindVertexArray(null);
  const kind = part.indices instanceof Uint16Array ? gl.UNSIGNED_SHORT : gl.UNSIGNED_INT;
  return { array, buffers, count: part.indices.length, kind };
}

function squared(gl) {
  const array = gl.createVertexArray();
  gl.bindVertexArray(array);
  filled(gl, gl.ARRAY_BUFFER, new Float32Array([-1, -1, 1, -1, -1, 1, 1, 1]));
  gl.enableVertexAttribArray(0);
  gl.vertexAttribPointer(0, 2, gl.FLOAT, false, 0, 0);
  gl.bindVertexArray(null);
  return array;
}

function filled(gl, target, values) {
  const buffer = gl.createBuffer();
  gl.bindBuffer(target, buffer);
  gl.bufferData(target, values, gl.STATIC_DRAW);
  return buffer;
}
