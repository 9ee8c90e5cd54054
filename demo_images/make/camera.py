"""Pictures as a camera stores them, and their names."""
import numpy as np
from PIL import Image, ImageCms

from optics import encode


def slug(name):
    return "-".join("".join(ch if ch in "abcdefghijklmnopqrstuvwxyz0123456789" else " " for ch in name.lower()).split())


def photo(linear, path, seed, turned):
    """A camera's picture of it: shot and read noise, sRGB codes, perhaps stored a quarter turn round with EXIF orientation 6."""
    rng = np.random.default_rng(seed)
    x = linear.mean(2)
    grain = rng.standard_normal(x.shape).astype(np.float32)
    x = x + grain * np.sqrt(3.0e-5 * np.maximum(x, 0) + 1.5e-7)
    code = (encode(x) * 255 + rng.random(x.shape)).astype(np.uint8)      # dithered rounding
    im = Image.fromarray(np.repeat(code[..., None], 3, 2))
    exif = Image.Exif()
    exif[0x0112] = 6 if turned else 1
    if turned:
        im = im.transpose(Image.Transpose.ROTATE_90)
    exif[0x010E] = "Velatura demo: path-traced, values invented"
    exif.get_ifd(0x8769)[0xA001] = 1
    im.save(path, quality=95, subsampling=0, exif=exif, optimize=True,
            icc_profile=ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())


def picture(linear, path):
    Image.fromarray((encode(linear) * 255 + 0.5).astype(np.uint8)).save(path, optimize=True)
