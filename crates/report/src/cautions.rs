//! The usual cautions for the work at the desk, as the README has them (a test compares the two).

/// What to mind, in two sentences.
pub const CAUTIONS: [&str; 2] = [
    "Prime and varnish from a can outdoors or in moving air, wear a mask that is made for it when you spray or sand, keep \
     paint dust and airbrush mist out of your lungs, keep the brush out of your mouth, cut away from your fingers, and mind \
     that superglue bonds skin.",
    "The safety sheet of the product and the rules where you live come before anything written here.",
];
