// The colour of one pixel of a scheme. The caller's text gives `entry(index) -> vec4f`, the tables' entries.

// Where a region's table lies among the entries; no columns where no coat lies.
struct Place {
    first: u32,
    substrate_steps: u32,
    relief_steps: u32,
    bounce: f32,
    substrate_scale: f32,
    relief_scale: f32,
    unused: vec2u,
}

fn between(a: vec3f, b: vec3f, share: f32) -> vec3f {
    return a + (b - a) * share;
}

fn look_up(place: Place, substrate: f32, relief: f32) -> vec3f {
    let scaled = substrate * place.substrate_scale;
    let column = min(u32(scaled), place.substrate_steps - 2u);
    let across = scaled - f32(column);
    if place.relief_steps == 1u {
        let upper = place.first + column;
        return between(entry(upper).xyz, entry(upper + 1u).xyz, across);
    }
    let down = relief * place.relief_scale;
    let row = min(u32(down), place.relief_steps - 2u);
    let upper = place.first + row * place.substrate_steps + column;
    let lower = upper + place.substrate_steps;
    let above = between(entry(upper).xyz, entry(upper + 1u).xyz, across);
    let below = between(entry(lower).xyz, entry(lower + 1u).xyz, across);
    return between(above, below, down - f32(row));
}

// How far bounced light reaches where so much light falls: nothing in full light, nothing in the dark.
fn hollow(light: f32) -> f32 {
    return sqrt(light) * max(1.0 - light, 0.0);
}

// Substrate and relief in units of their planes.
fn applied(place: Place, substrate: f32, relief: f32, light: f32, hollow: f32) -> vec3f {
    let reflectance = look_up(place, substrate, relief);
    return reflectance * (light + place.bounce * hollow * reflectance);
}
