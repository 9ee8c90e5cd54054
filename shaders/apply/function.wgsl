// The colour of one pixel of a scheme. The caller's text declares `heads`, and `entry(index) -> vec4f` for the tables.

const NO_COAT: u32 = 0u;
// One row, no bounced light, no simulated undercoat: the usual case, which needs only the first half of a head.
const PLAIN: u32 = 1u;
// Over a simulated undercoat, which the head of the background describes.
const SIMULATED: u32 = 3u;

// The position of a region's table among the entries, and how to read its axes.
struct TableHead {
    kind: u32,
    first: u32,
    substrate_scale: f32,
    substrate_last: f32,
    columns: u32,
    relief_scale: f32,
    relief_last: f32,
    bounce: f32,
}

// Added to a float, it leaves no bit for fractions: the sum is a whole number, which is also in the lowest bits.
const WHOLE: f32 = 8388608.0;
const WHOLE_EXPONENT: u32 = 0x4b000000u;
const WHOLE_DIGITS: u32 = 0x007fffffu;

// The entry before a head on an axis. Half an entry off does not matter, because straight lines meet there.
fn cell(at: f32, last: f32) -> u32 {
    return bitcast<u32>(clamp(at - 0.5, 0.0, last) + WHOLE) & WHOLE_DIGITS;
}

// How far beyond an entry a head is. The float is assembled from its bits: cards convert slowly, and a compiler might optimise
// adding and subtracting WHOLE away.
fn beyond(at: f32, cell: u32) -> f32 {
    return at - (bitcast<f32>(cell | WHOLE_EXPONENT) - WHOLE);
}

fn between(a: vec3f, b: vec3f, share: f32) -> vec3f {
    return a + (b - a) * share;
}

fn along_row(index: u32, share: f32) -> vec3f {
    return between(entry(index).xyz, entry(index + 1u).xyz, share);
}

// Share of bounced light for this much light: none in full light, none in the dark.
fn hollow(light: f32) -> f32 {
    return sqrt(light) * max(1.0 - light, 0.0);
}

fn along_undercoat(index: u32, share: f32) -> f32 {
    let left = entry(index).x;
    return left + (entry(index + 1u).x - left) * share;
}

// The substrate under the simulated undercoat of a scheme, in units of its plane; `head` is that of the background.
fn simulated(head: u32, substrate: f32, relief: f32) -> f32 {
    let across = substrate * heads[head].substrate_scale;
    let column = cell(across, heads[head].substrate_last);
    let share = beyond(across, column);
    let down = relief * heads[head].relief_scale;
    let row = cell(down, heads[head].relief_last);
    let above = heads[head].first + column + row * heads[head].columns;
    let upper = along_undercoat(above, share);
    let lower = along_undercoat(above + heads[head].columns, share);
    return upper + (lower - upper) * beyond(down, row);
}

// Substrate and relief in units of their planes; the head is one with a coat, `background` that of the scheme's background.
fn applied(head: u32, background: u32, photographed: f32, relief: f32, light: f32, hollow: f32) -> vec3f {
    var substrate = photographed;
    if heads[head].kind == SIMULATED {
        substrate = simulated(background, photographed, relief);
    }
    let across = substrate * heads[head].substrate_scale;
    let column = cell(across, heads[head].substrate_last);
    let share = beyond(across, column);
    let first = heads[head].first + column;
    if heads[head].kind == PLAIN {
        return along_row(first, share) * light;
    }
    let down = relief * heads[head].relief_scale;
    let row = cell(down, heads[head].relief_last);
    let columns = heads[head].columns;
    let above = first + row * columns;
    let reflectance = between(
        along_row(above, share),
        along_row(above + columns, share),
        beyond(down, row),
    );
    return reflectance * (light + heads[head].bounce * hollow * reflectance);
}
