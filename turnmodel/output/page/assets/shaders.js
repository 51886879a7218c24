// What the graphics card computes: turned metal in a photographer's room, and the hatched faces of a cut.

const BODY_VERTEX = `#version 300 es
in vec3 position;
in vec3 normal;
uniform mat4 place, view, projection;
out vec3 world, seen, facing, groove;
out float hollow;
void main() {
  vec4 at = place * vec4(position, 1.0);
  mat3 turn = mat3(view) * mat3(place);
  world = at.xyz;
  seen = (view * at).xyz;
  facing = turn * normal;
  groove = turn * vec3(-position.y, position.x, 0.0);
  hollow = dot(normal.xy, position.xy) < 0.0 ? -dot(normal.xy, position.xy) / max(length(position.xy), 1e-6) : 0.0;
  gl_Position = projection * vec4(seen, 1.0);
}`;

const BODY_FRAGMENT = `#version 300 es
precision highp float;
in vec3 world, seen, facing, groove;
in float hollow;
uniform vec4 plane;
uniform bool cut, turned;
uniform vec3 base;
uniform float metallic, roughness;
out vec4 colour;

float band(float x, float low, float high, float soft) {
  return smoothstep(low - soft, low + soft, x) * (1.0 - smoothstep(high - soft, high + soft, x));
}

// The room that is mirrored: dim below, pale above, a long soft box over the object, a strip behind, and a
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

void main() {
  if (cut && dot(world, plane.xyz) > plane.w) discard;
  vec3 n = normalize(facing);
  vec3 to = normalize(-seen);
  if (dot(n, to) < 0.0) n = normalize(n - to * (dot(n, to) - 0.02));

  // The tool's fine rings spread a reflection across themselves.
  float spread = turned ? 0.10 + 0.22 * roughness : 0.0;
  vec3 across = length(groove) > 1e-5 ? cross(n, normalize(groove)) : vec3(0.0);
  vec3 mirrored = vec3(0.0);
  for (int k = -2; k <= 2; k++) {
    vec3 leaning = normalize(n + across * (spread * float(k) * 0.5));
    mirrored += room(reflect(-to, leaning), roughness) * (k == 0 ? 0.3 : k * k == 1 ? 0.22 : 0.13);
  }
  float edge = pow(1.0 - clamp(dot(n, to), 0.0, 1.0), 5.0);
  vec3 bare = mix(vec3(0.04), base, metallic);
  vec3 shine = bare + (1.0 - bare) * edge * mix(0.6, 0.25, metallic) * (1.0 - roughness);
  vec3 soft = base * (1.0 - metallic) * (0.30 + 0.62 * smoothstep(-0.7, 1.0, n.y) + 0.35 * max(n.z, 0.0));
  vec3 light = (mirrored * shine + soft) * (1.0 - 0.55 * hollow);
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
