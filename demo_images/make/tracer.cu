// A path tracer for matte figures: triangles in a balanced tree of boxes, two square lamps, an even room, floor and wall.
// One thread per pixel. Lamps are sampled at every hit, the room is what rays meet that leave the scene.
struct V { float x, y, z; };
__device__ V operator+(V a, V b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
__device__ V operator-(V a, V b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
__device__ V operator*(V a, float s) { return {a.x * s, a.y * s, a.z * s}; }
__device__ float dot(V a, V b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
__device__ V cross(V a, V b) { return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x}; }
__device__ V unit(V a) { return a * rsqrtf(dot(a, a) + 1e-30f); }
__device__ V at(const float* p, int i) { return {p[3 * i], p[3 * i + 1], p[3 * i + 2]}; }

__device__ unsigned mixed(unsigned s) { s = s * 747796405u + 2891336453u; unsigned w = ((s >> ((s >> 28) + 4)) ^ s) * 277803737u; return (w >> 22) ^ w; }
struct Rng { unsigned s; __device__ float next() { s = mixed(s); return (s >> 8) * (1.0f / 16777216.0f); } };

// Perlin's gradient noise, octaves added as in common renderers, about 0 with a spread of 0.1.
__device__ float slope(int x, int y, int z, float a, float b, float c) {
    unsigned h = mixed(x * 73856093u ^ mixed(y * 19349663u ^ mixed(z * 83492791u))) & 15;
    float u = h < 8 ? a : b, v = h < 4 ? b : (h == 12 || h == 14 ? a : c);
    return ((h & 1) ? -u : u) + ((h & 2) ? -v : v);
}
__device__ float fade(float t) { return t * t * t * (t * (t * 6 - 15) + 10); }
__device__ float lerp(float t, float a, float b) { return a + t * (b - a); }
__device__ float perlin(V p) {
    float fx = floorf(p.x), fy = floorf(p.y), fz = floorf(p.z), a = p.x - fx, b = p.y - fy, c = p.z - fz;
    int x = (int)fx, y = (int)fy, z = (int)fz;
    float u = fade(a), v = fade(b), w = fade(c), r[2];
    for (int k = 0; k < 2; k++)
        r[k] = lerp(v, lerp(u, slope(x, y, z + k, a, b, c - k), slope(x + 1, y, z + k, a - 1, b, c - k)),
                       lerp(u, slope(x, y + 1, z + k, a, b - 1, c - k), slope(x + 1, y + 1, z + k, a - 1, b - 1, c - k)));
    return 0.982f * lerp(w, r[0], r[1]);
}
__device__ float noise(V p, float sx, float sy, float sz, int detail) {
    V q = {p.x * sx, p.y * sy, p.z * sz};
    float sum = 0, strength = 1, all = 0;
    for (int k = 0; k <= detail; k++) { sum += perlin(q) * strength; all += strength; strength *= 0.6f; q = q * 2; }
    return 0.5f * sum / all;
}
__device__ float smooth(float x, float lo, float hi) { float t = fminf(fmaxf((x - lo) / (hi - lo), 0.0f), 1.0f); return t * t * (3 - 2 * t); }

struct Scene {
    const float *lo, *hi, *v0, *e1, *e2, *n0, *n1, *n2, *dry, *deep; const int* part;   // three values per triangle and corner
    const float* looks;                                                              // parts × steps × 3
    int leaves, steps, washed;
    const float* set;                                                                // see tracer.py, `numbers`
};
struct Hit { float t, u, v; int tri; };

__device__ bool box(const Scene& s, int node, V o, V inv, float most, float* near) {
    V a = at(s.lo, node), b = at(s.hi, node);
    float x0 = (a.x - o.x) * inv.x, x1 = (b.x - o.x) * inv.x, y0 = (a.y - o.y) * inv.y, y1 = (b.y - o.y) * inv.y, z0 = (a.z - o.z) * inv.z, z1 = (b.z - o.z) * inv.z;
    float in = fmaxf(fmaxf(fminf(x0, x1), fminf(y0, y1)), fmaxf(fminf(z0, z1), 0.0f)), out = fminf(fminf(fmaxf(x0, x1), fmaxf(y0, y1)), fminf(fmaxf(z0, z1), most));
    *near = in;
    return in <= out;
}
__device__ bool trace(const Scene& s, V o, V d, float most, Hit* hit, bool any) {
    V inv = {1 / d.x, 1 / d.y, 1 / d.z};
    int stack[40], depth = 0, node = 0;
    float near, a, b;
    hit->t = most; hit->tri = -1;
    if (!box(s, 0, o, inv, most, &near)) return false;
    while (true) {
        if (node >= s.leaves - 1) {
            int first = (node - (s.leaves - 1)) * 4;
            for (int i = first; i < first + 4; i++) {
                V e1 = at(s.e1, i), e2 = at(s.e2, i), p = cross(d, e2);
                float det = dot(e1, p);
                if (fabsf(det) < 1e-12f) continue;
                float f = 1 / det;
                V w = o - at(s.v0, i);
                float u = f * dot(w, p);
                if (u < 0 || u > 1) continue;
                V q = cross(w, e1);
                float v = f * dot(d, q), t = f * dot(e2, q);
                if (v < 0 || u + v > 1 || t <= 1e-4f || t >= hit->t) continue;
                *hit = {t, u, v, i};
                if (any) return true;
            }
        } else {
            int l = 2 * node + 1, r = l + 1;
            bool hl = box(s, l, o, inv, hit->t, &a), hr = box(s, r, o, inv, hit->t, &b);
            if (hl && hr) { if (a > b) { int k = l; l = r; r = k; } stack[depth++] = r; node = l; continue; }
            if (hl || hr) { node = hl ? l : r; continue; }
        }
        if (!depth) return hit->tri >= 0;
        node = stack[--depth];
    }
}
// The grey of the undercoat at a hit: grey brushed on widely, then white on what stands out most; or a wash.
__device__ float undercoat(const Scene& s, Hit h, V p) {
    const float* k = s.set;
    float w = 1 - h.u - h.v, dry = s.dry[3 * h.tri] * w + s.dry[3 * h.tri + 1] * h.u + s.dry[3 * h.tri + 2] * h.v;
    float deep = s.deep[3 * h.tri] * w + s.deep[3 * h.tri + 1] * h.u + s.deep[3 * h.tri + 2] * h.v;
    V o = {k[0] * p.x + k[1] * p.y, -k[1] * p.x + k[0] * p.y, p.z};
    float fine = noise(o, 13, 13, 10, 2), streak = noise(o, 9, 9, 1.7f, 3), blotch = noise(o, 0.55f, 0.55f, 0.4f, 2);
    if (s.washed) return lerp(smooth(deep + (fine + blotch) * 0.06f, k[10], k[11]), k[12], k[13]);
    dry += (fine * 0.40f + streak * 0.45f + blotch * 0.25f) * k[9];
    return lerp(smooth(dry, k[5], k[6]), k[2], k[3]) + smooth(dry, k[7], k[8]) * (k[4] - k[3]);
}
__device__ V albedo(const Scene& s, Hit h, V p) {
    float x = undercoat(s, h, p) * (s.steps - 1);
    int i = min(max((int)x, 0), s.steps - 2), row = s.part[h.tri] * s.steps + i;
    return at(s.looks, row) * (1 - (x - i)) + at(s.looks, row + 1) * (x - i);
}
__device__ bool surface(const Scene& s, V o, V d, V* p, V* n, V* colour, int* part, Hit* h) {
    bool figure = trace(s, o, d, 1e9f, h, false);
    float floor_t = d.z < 0 ? (-3.72f - o.z) / d.z : 1e9f, wall_t = d.y > 0 ? (130 - o.y) / d.y : 1e9f;
    float t = fminf(floor_t, wall_t);
    if (figure && h->t < t) {
        *p = o + d * h->t;
        V flat = unit(cross(at(s.e1, h->tri), at(s.e2, h->tri)));
        *n = unit(at(s.n0, h->tri) * (1 - h->u - h->v) + at(s.n1, h->tri) * h->u + at(s.n2, h->tri) * h->v);
        if (dot(*n, d) > 0) *n = flat;
        if (dot(*n, d) > 0) *n = *n * -1;
        *colour = albedo(s, *h, *p);
        *part = s.part[h->tri];
        return true;
    }
    if (t > 1e8f) return false;
    *p = o + d * t;
    *n = floor_t < wall_t ? V{0, 0, 1} : V{0, -1, 0};
    *colour = {0.24f, 0.24f, 0.24f};
    *part = -1;
    return true;
}
__device__ V around(V n, Rng& r) {
    float a = 6.2831853f * r.next(), z = r.next(), q = sqrtf(z);
    V t = unit(fabsf(n.x) > 0.5f ? cross(n, {0, 1, 0}) : cross(n, {1, 0, 0})), b = cross(n, t);
    return unit(t * (q * cosf(a)) + b * (q * sinf(a)) + n * sqrtf(1 - z));
}
// kind 0: light; 1: the colour of the surface alone; 2: part + 1 at the middle of the pixel
extern "C" __global__ void render(float* out, const Scene* scene, const float* lamps, const float* view, int width, int height, int samples, float blur, int kind, unsigned seed) {
    int pixel = blockIdx.x * blockDim.x + threadIdx.x;
    if (pixel >= width * height) return;
    Scene s = *scene;
    Rng r = {mixed(pixel * 9781u + seed * 6271u)};
    V eye = at(view, 0), right = at(view, 1), up = at(view, 2), ahead = at(view, 3), total = {0, 0, 0};
    float half = view[12], room = view[13];
    for (int sample = 0; sample < samples; sample++) {
        float jx = r.next(), jy = r.next();
        if (blur > 0) { float q = blur * sqrtf(-2 * logf(jx + 1e-7f)), c = 6.2831853f * jy; jx = 0.5f + q * cosf(c); jy = 0.5f + q * sinf(c); }
        if (kind == 2) jx = jy = 0.5f;
        float x = ((pixel % width + jx) / height - 0.5f * width / height) * 2 * half, y = (0.5f - (pixel / width + jy) / height) * 2 * half;
        V o = eye, d = unit(ahead + right * x + up * y), weight = {1, 1, 1}, p, n, colour;
        int part; Hit h;
        for (int bounce = 0; bounce < 6; bounce++) {
            if (!surface(s, o, d, &p, &n, &colour, &part, &h)) { if (kind == 0) total = total + weight * room; break; }
            if (kind == 2) { total.x += part + 1; break; }
            if (kind == 1) { if (part >= 0) total = total + colour; break; }
            weight = {weight.x * colour.x, weight.y * colour.y, weight.z * colour.z};
            V from = p + n * 2e-3f;
            for (int k = 0; k < 2; k++) {
                const float* l = lamps + 13 * k;
                V q = at(l, 0) + at(l, 1) * (r.next() - 0.5f) + at(l, 2) * (r.next() - 0.5f), to = q - from;
                float dd = dot(to, to), far = sqrtf(dd);
                to = to * (1 / far);
                float c = dot(n, to), e = -dot(at(l, 3), to);
                Hit block;
                if (c > 0 && e > 0 && !trace(s, from, to, far, &block, true)) total = total + weight * (l[12] * c * e / (dd * 3.14159265f));
            }
            o = from; d = around(n, r);
        }
    }
    float f = 1.0f / samples;
    out[3 * pixel] = total.x * f; out[3 * pixel + 1] = total.y * f; out[3 * pixel + 2] = total.z * f;
}
