//! The speed of ways to compress a preview on this machine: `cargo run -p velatura-sheet --example png_speed`.
//!
//! The picture is synthetic: 4000 × 3000, soft shading, texture at four scales, and camera noise.

use std::io::Write;
use std::time::Instant;

use png::{DeflateCompression, Filter};

const WIDTH: u32 = 4000;
const HEIGHT: u32 = 3000;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let pixels = photo_like();
    let megabytes = f64::from(WIDTH) * f64::from(HEIGHT) * 3.0 / 1e6;
    println!("deflate            filter     MB/s  size in % of raw");
    for deflate in [
        DeflateCompression::NoCompression,
        DeflateCompression::FdeflateUltraFast,
        DeflateCompression::Level(1),
        DeflateCompression::Level(6),
    ] {
        for filter in [
            Filter::NoFilter,
            Filter::Sub,
            Filter::Up,
            Filter::Avg,
            Filter::Paeth,
            Filter::Adaptive,
        ] {
            let mut fastest = f64::INFINITY;
            let mut size = 0;
            for _ in 0..3 {
                let start = Instant::now();
                size = encode(&pixels, deflate, filter)?;
                fastest = fastest.min(start.elapsed().as_secs_f64());
            }
            let share = 100.0 * f64::from(u32::try_from(size)?) / (megabytes * 1e6);
            println!(
                "{:<18} {:<8} {:>6.0} {share:>8.1}",
                format!("{deflate:?}"),
                format!("{filter:?}"),
                megabytes / fastest,
            );
        }
    }
    Ok(())
}

fn encode(
    pixels: &[u8],
    deflate: DeflateCompression,
    filter: Filter,
) -> Result<usize, Box<dyn std::error::Error>> {
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, WIDTH, HEIGHT);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_deflate_compression(deflate);
    encoder.set_filter(filter);
    let mut writer = encoder.write_header()?;
    let mut stream = writer.stream_writer_with_size(1 << 18)?;
    for rows in pixels.chunks(64 * 3 * usize::try_from(WIDTH)?) {
        stream.write_all(rows)?;
    }
    stream.finish()?;
    writer.finish()?;
    Ok(out.len())
}

fn photo_like() -> Vec<u8> {
    let mut seed = 1_u32;
    let mut random = move || {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(seed >> 8) / f64::from(1_u32 << 24)
    };
    let mut pixels = Vec::new();
    for y in 0..HEIGHT {
        for x in 0..WIDTH {
            let (u, v) = (f64::from(x), f64::from(y));
            let shading = 110.0 + 60.0 * (u / 900.0).sin() * (v / 700.0).cos();
            let texture = 12.0 * (u / 37.0 + (v / 23.0).sin()).sin()
                + 6.0 * (v / 11.0 + (u / 17.0).cos()).sin()
                + 3.0 * (u / 4.0 + v / 5.0).sin();
            let noise = random() + random() + random() - 1.5;
            for tint in [1.0, 0.82, 0.64] {
                let code = (shading + texture) * tint + 3.0 * noise + 1.5 * (random() - 0.5);
                #[allow(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "clamped to a byte"
                )]
                pixels.push(code.round().clamp(0.0, 255.0) as u8);
            }
        }
    }
    pixels
}
