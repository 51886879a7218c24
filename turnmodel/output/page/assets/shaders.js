// What the graphics card computes: worked metal in a photographer's room, and the hatched faces of a cut.

const KNURLS = 4; // bands of one part that are shown knurled
const LINES = { plain: 0, rings: 1, along: 2, layers: 3 };

const BODY_VERTEX = `#version 300 es
in vec3 position;
in vec3 normal;
uniform mat4 place, view, projection;
out vec3 local, world, seen, facing, own, groove;
void main() {
  vec4 at = place * vec4(position, 1.0);
  mat3 turn = mat3(view) * mat3(place);
  local = position;
  own = normal;
  world = at.xyz;
  seen = (view * at).xyz;
  facing = turn * normal;
  groove = turn * vec3(-position.y, position.x, 0.0);
  gl_Position = projection * vec4(seen, 1.0);
}`;

const BODY_FRAGMENT = `#version 300 es
precision highp float;
in vec3 local, world, seen, facing, own, groove;
uniform vec4 plane;
uniform bool cut;
uniform int lines;
uniform vec3 knurls[${KNURLS}];
uniform vec3 axis, base;
uniform float metallic, roughness;
out vec4 colour;

const int RINGS = 1, ALONG = 2, LAYERS = 3;

float band(float x, float low, float high, float soft) {
  return smoothstep(low - soft, low + soft, x) * (1.0 - smoothstep(high - soft, high + soft, x));
}

// The room that is mirrored: dim below, pale above, a long soft box over the object, a strip below it, and a
// dark card between them that gives a round its edge.
vec3 room(vec3 way, float rough) {
  float soft = mix(0.05, 0.34, rough);
  float height = way.y;
  vec3 light = mix(vec3(0.22, 0.21, 0.20), vec3(0.72, 0.74, 0.78), smoothstep(-0.75, 0.9, height));
  light *= 1.0 - 0.55 * band(height, -0.16, 0.24, soft);
  light += vec3(2.30, 2.25, 2.18) * band(height, 0.52, 0.84, soft) * smoothstep(-0.9, 0.3, way.z);
  light += vec3(0.50, 0.53, 0.60) * band(height, -0.80, -0.45, soft);
  light += vec3(0.55) * band(way.x, 0.55, 0.85, soft) * smoothstep(0.0, 0.6, way.z);
  return light;
}

float noise(float x) {
  vec2 at = floor(x) + vec2(0.0, 1.0);
  vec2 value = fract(sin(mod(at, 4096.0) * 12.9898) * 43758.5453);
  return mix(value.x, value.y, smoothstep(0.0, 1.0, fract(x))) - 0.5;
}

// Lines finer than a pixel or two are left to the spread of the reflection.
float resolved(float x) {
  return 1.0 - smoothstep(0.25, 0.7, fwidth(x));
}

void main() {
  if (cut && dot(world, plane.xyz) > plane.w) discard;
  vec3 n = normalize(facing);
  vec3 to = normalize(-seen);
  if (dot(n, to) < 0.0) n = normalize(n - to * (dot(n, to) - 0.02));
  float radius = length(local.xy);
  vec3 round = length(groove) > 1e-6 ? normalize(groove) : vec3(0.0);
  vec3 across = lines == RINGS || lines == LAYERS ? cross(n, round) : lines == ALONG ? round : vec3(0.0);

  float faced = smoothstep(0.7, 0.95, abs(own.z));
  float along = mix(local.z, radius, faced);
  float feed = along / 0.11;
  float layer = local.z / 0.2;
  float brush = radius * atan(local.y, local.x) / 0.07;
  vec3 bent = n;
  if (lines == RINGS) bent += across * (0.10 * noise(feed) * resolved(feed));
  if (lines == LAYERS) bent += across * (0.45 * (fract(layer) - 0.5) * resolved(layer) * (1.0 - faced));
  if (lines == ALONG) bent += across * (0.16 * noise(brush) * resolved(radius / 0.07));

  float shade = 1.0;
  for (int k = 0; k < ${KNURLS}; k++) {
    vec3 knurl = knurls[k];
    if (knurl.z <= 0.0 || local.z < knurl.x || local.z > knurl.y || dot(own.xy, local.xy) < 0.7 * radius) continue;
    float count = floor(6.2831853 * radius / knurl.z + 0.5);
    float turn = count * atan(local.y, local.x) / 6.2831853;
    float rise = 0.577 * local.z / knurl.z;
    vec2 phase = 6.2831853 * vec2(turn + rise, turn - rise);
    float clear = resolved(local.z / knurl.z);
    vec2 slope = clamp(1.6 * sin(phase), -1.0, 1.0) * clear;
    bent += 0.42 * (slope.x * (round + 0.577 * axis) + slope.y * (round - 0.577 * axis));
    shade = 1.0 - 0.45 * clear * (1.0 - 0.5 * max(cos(phase.x) + 1.0, 0.0) * 0.5 * max(cos(phase.y) + 1.0, 0.0));
  }
  n = normalize(bent);

  // The fine lines spread a reflection across themselves.
  float spread = 0.10 + 0.22 * roughness;
  vec3 mirrored = vec3(0.0);
  for (int k = -2; k <= 2; k++) {
    vec3 leaning = normalize(n + across * (spread * float(k) * 0.5));
    mirrored += room(reflect(-to, leaning), roughness) * (k == 0 ? 0.3 : k * k == 1 ? 0.22 : 0.13);
  }
  float edge = pow(1.0 - clamp(dot(n, to), 0.0, 1.0), 5.0);
  vec3 bare = mix(vec3(0.04), base, metallic);
  vec3 shine = bare + (1.0 - bare) * edge * mix(0.6, 0.25, metallic) * (1.0 - roughness);
  vec3 soft = base * (1.0 - metallic) * (0.30 + 0.62 * smoothstep(-0.7, 1.0, n.y) + 0.35 * max(n.z, 0.0));
  float hollow = radius > 1e-6 ? max(-dot(own.xy, local.xy) / radius, 0.0) : 0.0;
  vec3 light = (mirrored * shine + soft) * shade * (1.0 - 0.55 * hollow);
  // Film pales what is bright: a highlight on brass is nearly white.
  float most = max(light.r, max(light.g, light.b));
  light = mix(light, vec3(most), 0.55 * smoothstep(0.55, 1.9, most)) / (1.0 + 0.22 * most);
  colour = vec4(pow(light, vec3(1.0 / 2.2)), 1.0);
}`;

const CUT_VERTEX = `#version 300 es
in vec2 position;
uniform mat4 view, projection;
uniform vec3 centre, along, over;
out vec2 at;
void main() {
  at = position;
  gl_Position = projection * view * vec4(centre + position.x * along + position.y * over, 1.0);
}`;

const CUT_FRAGMENT = `#version 300 es
precision highp float;
in vec2 at;
uniform vec3 tint;
uniform float slant, spacing;
out vec4 colour;
void main() {
  float x = (at.x + slant * at.y) * 0.7071 / spacing;
  float line = abs(fract(x) - 0.5) / max(fwidth(x), 1e-6);
  colour = vec4(mix(tint, tint * 0.70, 1.0 - smoothstep(0.25, 1.1, line)), 1.0);
}`;
