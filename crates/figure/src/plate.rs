//! The plate: a photo and its regions as planes, as photographed.

/// A photo with the region of every pixel; all planes are row-major, `height` × `width`.
#[derive(Debug, Clone)]
pub struct Plate {
    /// Pixels per row, after rotation.
    pub width: u32,
    /// Rows, after rotation.
    pub height: u32,
    /// 8-bit sRGB as photographed.
    pub photo: Vec<[u8; 3]>,
    /// Linear luminance Y (ITU-R BT.709), 0…1 as 0…65535.
    pub luminance: Vec<u16>,
    /// 0 for no region, else the region's index + 1.
    pub region: Vec<u8>,
    /// The regions' names, in the figure file's order.
    pub regions: Vec<String>,
    /// The lamp's cast: mean linear RGB over mean Y of all pixels in a region; 1, 1, 1 for a neutral lamp.
    pub lamp: [f64; 3],
}
