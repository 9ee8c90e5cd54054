// Varnish, then a colour-vision matrix, on one pixel with a coat.

const PLANE_MAX: f32 = 65535.0;
const SHEEN_FROM: f32 = 0.6;

struct Finish {
    matrix: array<vec4f, 3>,
    deepening: f32,
    sheen: f32,
    changes: u32,
    unused: u32,
}

// Relief in units of its plane.
fn finished(finish: Finish, rgb: vec3f, relief: f32, light: f32) -> vec3f {
    var seen = rgb;
    if (finish.deepening > 0.0 || finish.sheen > 0.0) && light > 0.0 {
        let raised = max((relief / PLANE_MAX - SHEEN_FROM) / (1.0 - SHEEN_FROM), 0.0);
        let sheen = finish.sheen * raised * raised;
        let reflectance = rgb / light;
        let deepened = reflectance * (1.0 - finish.deepening * (1.0 - clamp(reflectance, vec3f(), vec3f(1.0))));
        seen = (deepened + sheen) * light;
    }
    return vec3f(
        dot(finish.matrix[0].xyz, seen),
        dot(finish.matrix[1].xyz, seen),
        dot(finish.matrix[2].xyz, seen),
    );
}
