// Reads a binary glTF: parts with their triangles and looks, and the states they stand in.

function readGlb(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const length = view.getUint32(12, true);
  const text = new TextDecoder().decode(bytes.subarray(20, 20 + length));
  const tree = JSON.parse(text);
  const base = bytes.byteOffset + 20 + length + 8;

  const array = (number) => {
    const accessor = tree.accessors[number];
    const from = base + (tree.bufferViews[accessor.bufferView].byteOffset || 0);
    const size = accessor.count * (accessor.type === "VEC3" ? 3 : 1);
    const Kind = { 5126: Float32Array, 5123: Uint16Array, 5125: Uint32Array }[accessor.componentType];
    return new Kind(bytes.buffer, from, size);
  };

  const parts = tree.meshes.map((mesh) => {
    const [{ attributes, indices, material }] = mesh.primitives;
    const { min, max } = tree.accessors[attributes.POSITION];
    const { pbrMetallicRoughness: look, extras } = tree.materials[material];
    return {
      name: mesh.name,
      positions: array(attributes.POSITION),
      normals: array(attributes.NORMAL),
      indices: array(indices),
      corners: cornersOf(min, max),
      base: look.baseColorFactor.slice(0, 3),
      metallic: look.metallicFactor,
      roughness: look.roughnessFactor,
      ...extras,
    };
  });

  const states = tree.scenes.map((scene) => {
    const root = tree.nodes[scene.nodes[0]];
    const placed = root.children.map((child) => {
      const { name, mesh, matrix } = tree.nodes[child];
      return { name, part: parts[mesh], matrix };
    });
    return { name: scene.name, root: root.matrix, placed, steps: scene.extras.steps };
  });
  return { title: tree.asset.extras.title, parts, states };
}

function cornersOf(min, max) {
  return [0, 1, 2, 3, 4, 5, 6, 7].map((k) => [0, 1, 2].map((axis) => ((k >> axis) & 1 ? max : min)[axis]));
}
