// apply: tables over planes, one scheme at a time into whole frames of linear light

struct Params {
    pixels: u32,
    schemes: u32,
    heads: u32,
    light_unit: f32,
}

@group(0) @binding(0) var<uniform> params: Params;
// One per pixel: substrate, relief, light, region.
@group(0) @binding(1) var<storage, read> planes: array<vec4u>;
@group(0) @binding(2) var<storage, read> tables: array<vec4f>;
// The background's first, then one per region, scheme by scheme.
@group(0) @binding(3) var<storage, read> heads: array<TableHead>;
@group(0) @binding(4) var<storage, read_write> frames: array<vec4f>;

fn entry(index: u32) -> vec4f {
    return tables[index];
}

@compute @workgroup_size(64)
fn apply(@builtin(global_invocation_id) id: vec3u, @builtin(num_workgroups) groups: vec3u) {
    let at = id.x + id.y * groups.x * 64u;
    if at >= params.pixels {
        return;
    }
    let plane = planes[at];
    let light = f32(plane.z) * params.light_unit;
    let region = select(0u, plane.w, plane.w < params.heads);
    for (var scheme = 0u; scheme < params.schemes; scheme++) {
        let background = scheme * params.heads;
        let head = background + region;
        var pixel = vec4f();
        if heads[head].kind != NO_COAT {
            let rgb = applied(head, background, f32(plane.x), f32(plane.y), light, hollow(light));
            pixel = vec4f(rgb, 1.0);
        }
        frames[scheme * params.pixels + at] = pixel;
    }
}
