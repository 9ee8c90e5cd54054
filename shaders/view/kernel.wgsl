// view: a picture as seen from further away, along one axis

// Pixel i of a line is at line × line_step + i × along_step.
struct Params {
    seen: u32,
    lines: u32,
    taps: u32,
    line_step: u32,
    along_step: u32,
    seen_line_step: u32,
    seen_along_step: u32,
    unused: u32,
}

@group(0) @binding(0) var<uniform> params: Params;
@group(0) @binding(1) var<storage, read> starts: array<u32>;
@group(0) @binding(2) var<storage, read> weights: array<f32>;
@group(0) @binding(3) var<storage, read> frame: array<vec4f>;
@group(0) @binding(4) var<storage, read_write> seen: array<vec4f>;

@compute @workgroup_size(64)
fn view(@builtin(global_invocation_id) id: vec3u, @builtin(num_workgroups) groups: vec3u) {
    let at = id.x + id.y * groups.x * 64u;
    if at >= params.seen * params.lines {
        return;
    }
    let line = at / params.seen;
    let along = at % params.seen;
    let first = line * params.line_step + starts[along] * params.along_step;
    var sum = vec4f();
    for (var tap = 0u; tap < params.taps; tap++) {
        sum += weights[along * params.taps + tap] * frame[first + tap * params.along_step];
    }
    seen[line * params.seen_line_step + along * params.seen_along_step] = sum;
}
