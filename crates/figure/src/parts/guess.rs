//! What a part probably is, from its name.

use crate::material::Material;

/// Words of names and what they mean. A name counts by its last known word: "leather coat" is a coat.
const WORDS: [(Material, &[&str]); 10] = [
    (
        Material::Skin,
        &[
            "skin", "flesh", "face", "faces", "hand", "hands", "arm", "arms", "leg", "legs",
            "head", "neck", "foot", "feet", "ear", "ears", "nose", "chest", "fingers",
        ],
    ),
    (
        Material::Hair,
        &[
            "hair",
            "beard",
            "moustache",
            "braid",
            "braids",
            "fur",
            "mane",
            "tail",
            "eyebrows",
            "plait",
            "plaits",
            "bun",
            "whiskers",
            "wool",
            "pelt",
        ],
    ),
    (
        Material::Cloth,
        &[
            "cloth",
            "cloak",
            "cape",
            "coat",
            "hood",
            "tunic",
            "shirt",
            "robe",
            "robes",
            "dress",
            "skirt",
            "trousers",
            "sash",
            "scarf",
            "hat",
            "cap",
            "banner",
            "flag",
            "tabard",
            "jacket",
            "sleeve",
            "sleeves",
            "socks",
            "kilt",
            "apron",
            "vest",
            "ribbon",
            "sail",
            "blanket",
            "hose",
            "gown",
            "turban",
            "shawl",
            "mantle",
            "veil",
            "hem",
            "collar",
            "cuff",
            "cuffs",
            "bodice",
            "petticoat",
            "stockings",
            "mittens",
            "bandage",
            "bandages",
            "sack",
            "tent",
            "cloths",
            "pillow",
        ],
    ),
    (
        Material::Leather,
        &[
            "leather", "belt", "belts", "boots", "boot", "shoes", "shoe", "pouch", "pouches",
            "strap", "straps", "glove", "gloves", "bag", "bags", "satchel", "saddle", "sheath",
            "scabbard", "quiver", "waders", "bracers", "harness", "jerkin", "reins", "whip",
            "holster", "purse", "sandals",
        ],
    ),
    (
        Material::Wood,
        &[
            "wood", "pole", "staff", "shaft", "haft", "handle", "bow", "club", "crate", "barrel",
            "plank", "planks", "stick", "oar", "paddle", "door", "log", "bench", "cart", "spear",
            "spears", "pike", "wand", "ladder", "mast", "boat", "branch", "branches", "trunk",
            "tree", "crutch", "cane", "rod", "arrow", "arrows", "table", "chair", "stool",
            "bucket", "beam", "lute", "yoke",
        ],
    ),
    (
        Material::Metal,
        &[
            "metal",
            "steel",
            "iron",
            "brass",
            "gold",
            "silver",
            "copper",
            "sword",
            "blade",
            "axe",
            "helmet",
            "helm",
            "armour",
            "mail",
            "buckle",
            "buckles",
            "spearhead",
            "dagger",
            "knife",
            "shield",
            "chain",
            "chains",
            "anchor",
            "hook",
            "key",
            "keys",
            "bell",
            "plate",
            "gauntlet",
            "gauntlets",
            "kettle",
            "pot",
            "pan",
            "cauldron",
            "spoon",
            "ring",
            "rings",
            "crown",
            "coin",
            "coins",
            "lock",
            "rivets",
            "nails",
            "trident",
            "sickle",
            "scythe",
            "breastplate",
            "chainmail",
            "bracelet",
            "pistol",
            "spur",
            "spurs",
        ],
    ),
    (
        Material::Bone,
        &[
            "bone", "bones", "skull", "skulls", "horn", "horns", "tooth", "teeth", "claw", "claws",
            "antler", "antlers", "tusk", "tusks",
        ],
    ),
    (
        Material::Stone,
        &[
            "stone", "stones", "rock", "rocks", "wall", "rubble", "brick", "bricks", "cobbles",
            "pebbles", "statue", "tiles",
        ],
    ),
    (
        Material::Plant,
        &[
            "plant", "plants", "leaf", "leaves", "grass", "reed", "reeds", "moss", "ivy", "straw",
            "basket", "wreath", "vine", "vines", "bush", "wicker", "hay", "herbs", "rope", "ropes",
            "net",
        ],
    ),
    (
        Material::Glow,
        &[
            "glow", "lantern", "lamp", "flame", "flames", "fire", "candle", "torch", "light",
        ],
    ),
];

/// The words that mean a material.
pub(super) fn words(of: Material) -> &'static [&'static str] {
    let own = WORDS.iter().find(|(material, _)| *material == of);
    own.map_or(&[], |(_, words)| *words)
}

/// What a part of this name probably is; `None` if no word of it is known.
pub(super) fn guess(name: &str) -> Option<Material> {
    let lower = name.to_lowercase();
    let words = lower.split(|letter: char| !letter.is_alphabetic());
    let mut known = words.filter_map(|word| {
        let of = WORDS.iter().find(|(_, words)| words.contains(&word));
        of.map(|(material, _)| *material)
    });
    known.next_back()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_parts_are_understood_by_their_last_known_word() {
        for (name, expected) in [
            ("face", Some(Material::Skin)),
            ("Left hand", Some(Material::Skin)),
            ("leather coat", Some(Material::Cloth)),
            ("belt", Some(Material::Leather)),
            ("belt_buckle", Some(Material::Metal)),
            ("boots 2", Some(Material::Leather)),
            ("pole", Some(Material::Wood)),
            ("Lantern", Some(Material::Glow)),
            ("shawl", Some(Material::Cloth)),
            ("copper kettle", Some(Material::Metal)),
            ("thing", None),
            // A word inside another is none.
            ("armada", None),
            ("", None),
        ] {
            assert_eq!(guess(name), expected, "{name}");
        }
    }

    #[test]
    fn no_word_means_two_things() {
        let mut all: Vec<&str> = WORDS
            .iter()
            .flat_map(|(_, words)| *words)
            .copied()
            .collect();
        let count = all.len();
        assert!(count > 100);
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count);
    }
}
