// Matrices of 4 by 4, column by column, as WebGL and glTF hold them.

function product(a, b) {
  const c = new Float32Array(16);
  for (let column = 0; column < 4; column++) {
    for (let row = 0; row < 4; row++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) sum += a[4 * k + row] * b[4 * column + k];
      c[4 * column + row] = sum;
    }
  }
  return c;
}

const shifted = ([x, y, z]) => [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, x, y, z, 1];

function turnedRound(axis, angle) {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return axis === "x"
    ? [1, 0, 0, 0, 0, c, s, 0, 0, -s, c, 0, 0, 0, 0, 1]
    : [c, 0, -s, 0, 0, 1, 0, 0, s, 0, c, 0, 0, 0, 0, 1];
}

function perspective(field, aspect, near, far) {
  const f = 1 / Math.tan(field / 2);
  const depth = 1 / (near - far);
  return [f / aspect, 0, 0, 0, 0, f, 0, 0, 0, 0, (far + near) * depth, -1, 0, 0, 2 * far * near * depth, 0];
}

function placedPoint(m, [x, y, z]) {
  return [0, 1, 2].map((row) => m[row] * x + m[4 + row] * y + m[8 + row] * z + m[12 + row]);
}

function turnedBy(m, [x, y, z]) {
  return [0, 1, 2].map((row) => m[row] * x + m[4 + row] * y + m[8 + row] * z);
}

const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const plus = (a, b, by = 1) => a.map((value, k) => value + by * b[k]);
const cross = (a, b) => [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
const unit = (a) => a.map((value) => value / Math.hypot(...a));
