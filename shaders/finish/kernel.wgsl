// finish: varnish over a dried frame, then a colour-vision matrix

@group(0) @binding(0) var<uniform> params: Finish;
// One per pixel: relief in units of its plane, light.
@group(0) @binding(1) var<storage, read> planes: array<vec2f>;
@group(0) @binding(2) var<storage, read_write> frame: array<vec4f>;

@compute @workgroup_size(64)
fn finish(@builtin(global_invocation_id) id: vec3u, @builtin(num_workgroups) groups: vec3u) {
    let at = id.x + id.y * groups.x * 64u;
    if at >= arrayLength(&frame) {
        return;
    }
    let pixel = frame[at];
    if pixel.w > 0.0 {
        let plane = planes[at];
        frame[at] = vec4f(finished(params, pixel.xyz, plane.x, plane.y), pixel.w);
    }
}
