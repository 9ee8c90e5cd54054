// render: apply, finish and pack in one pass, four pixels of every scheme per invocation

struct Params {
    quads: u32,
    schemes: u32,
    heads: u32,
    light_unit: f32,
}

@group(0) @binding(0) var<uniform> params: Params;
// Substrate, relief, light (two pixels a word), region (four pixels a word), photo (four pixels in three words).
@group(0) @binding(1) var<storage, read> planes: array<u32>;
@group(0) @binding(2) var<storage, read> tables: array<vec4f>;
// The background's first, then one per region, scheme by scheme.
@group(0) @binding(3) var<storage, read> heads: array<TableHead>;
@group(0) @binding(4) var<storage, read> finishes: array<Finish>;
@group(0) @binding(5) var<storage, read> encode: array<u32>;
// Scheme by scheme, four pixels in three words.
@group(0) @binding(6) var<storage, read_write> codes: array<u32>;

fn entry(index: u32) -> vec4f {
    return tables[index];
}

fn encode_word(index: u32) -> u32 {
    return encode[index];
}

fn plane_word(index: u32) -> u32 {
    return planes[index];
}

// Four pixels of a 16-bit plane that begins at a word.
fn four(begin: u32, quad: u32) -> vec4f {
    let at = begin + 2u * quad;
    let words = vec2u(plane_word(at), plane_word(at + 1u));
    return vec4f(vec4u(words.x & 65535u, words.x >> 16u, words.y & 65535u, words.y >> 16u));
}

fn pixel(scheme: u32, region: u32, substrate: f32, relief: f32, light: f32, hollow: f32, photo: u32) -> u32 {
    let background = scheme * params.heads;
    let head = background + region;
    if heads[head].kind == NO_COAT {
        return photo;
    }
    let rgb = applied(head, background, substrate, relief, light, hollow);
    if finishes[scheme].changes == 0u {
        return packed(rgb);
    }
    return packed(finished(finishes[scheme], rgb, relief, light));
}

@compute @workgroup_size(64)
fn render(@builtin(global_invocation_id) id: vec3u, @builtin(num_workgroups) groups: vec3u) {
    let quad = id.x + id.y * groups.x * 64u;
    if quad >= params.quads {
        return;
    }
    let substrate = four(0u, quad);
    let relief = four(2u * params.quads, quad);
    let light = four(4u * params.quads, quad) * params.light_unit;
    let dim = vec4f(hollow(light.x), hollow(light.y), hollow(light.z), hollow(light.w));
    let region_word = plane_word(6u * params.quads + quad);
    let named = vec4u(region_word & 255u, (region_word >> 8u) & 255u, (region_word >> 16u) & 255u, region_word >> 24u);
    let region = select(vec4u(), named, named < vec4u(params.heads));
    let at = 7u * params.quads + 3u * quad;
    let photo = vec3u(plane_word(at), plane_word(at + 1u), plane_word(at + 2u));
    let bare = vec4u(
        photo.x & 0xffffffu,
        (photo.x >> 24u) | ((photo.y & 0xffffu) << 8u),
        (photo.y >> 16u) | ((photo.z & 0xffu) << 16u),
        photo.z >> 8u,
    );
    for (var scheme = 0u; scheme < params.schemes; scheme++) {
        let a = pixel(scheme, region.x, substrate.x, relief.x, light.x, dim.x, bare.x);
        let b = pixel(scheme, region.y, substrate.y, relief.y, light.y, dim.y, bare.y);
        let c = pixel(scheme, region.z, substrate.z, relief.z, light.z, dim.z, bare.z);
        let d = pixel(scheme, region.w, substrate.w, relief.w, light.w, dim.w, bare.w);
        let to = 3u * (scheme * params.quads + quad);
        codes[to] = a | (b << 24u);
        codes[to + 1u] = (b >> 8u) | (c << 16u);
        codes[to + 2u] = (c >> 16u) | (d << 8u);
    }
}
