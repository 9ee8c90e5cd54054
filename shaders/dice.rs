//! Numbers that look random and are the same on every run, only for `cases.rs`.

/// A seeded generator (xorshift64*, Vigna 2016, ACM Trans. Math. Softw. 42:30; constants from memory).
#[derive(Debug, Clone)]
pub struct Dice(u64);

impl Dice {
    /// Seeded; 0 is as good as any.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed ^ 0x9e37_79b9_7f4a_7c15)
    }

    /// The next 16 bits.
    pub fn word(&mut self) -> u16 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        let mixed = self.0.wrapping_mul(0x2545_f491_4f6c_dd1d);
        let bytes = mixed.to_be_bytes();
        u16::from_be_bytes([bytes[0], bytes[1]])
    }

    /// 0…255.
    pub fn byte(&mut self) -> u8 {
        self.word().to_be_bytes()[0]
    }

    /// 0…1, both included.
    pub fn share(&mut self) -> f32 {
        f32::from(self.word()) / 65535.0
    }
}
