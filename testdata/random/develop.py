"""Develops NAME.exr, the light in front of a lens, to the NAME.jpg of a phone: develop.py NAME JSON.

In the order of nature: the lens bends and blurs the picture, the hand moves it, the sensor adds its noise, and the phone filters, codes
and sharpens it. Each blur is even about its point, so that none moves an edge. The EXR is removed.
"""
import json
import os
import subprocess
import sys

os.environ["OPENCV_IO_ENABLE_OPENEXR"] = "1"
import cv2
import numpy as np

name, how = sys.argv[1], json.loads(sys.argv[2])
light = cv2.imread(name + ".exr", cv2.IMREAD_UNCHANGED)[:, :, :3].astype(np.float32)
h, w = light.shape[:2]

if how["k1"]:
    # A pixel of the photo shows what an unbent one shows where its ray undistorts to (by fixed-point iteration).
    y, x = (np.mgrid[0:h, 0:w] - np.array([(h - 1) / 2, (w - 1) / 2])[:, None, None]) / how["focal"]
    u, v = x, y
    for _ in range(15):
        bent = 1 + how["k1"] * (u * u + v * v)
        u, v = x / bent, y / bent
    at = [(u * how["focal"] + (w - 1) / 2).astype(np.float32), (v * how["focal"] + (h - 1) / 2).astype(np.float32)]
    light = cv2.remap(light, *at, cv2.INTER_LANCZOS4, borderMode=cv2.BORDER_REPLICATE)

light *= how["exposure"] / np.percentile(light.mean(2), 99.3)
light = cv2.GaussianBlur(light, (0, 0), how["blur"])
if how["motion"]:
    path = np.zeros((11, 11), np.float32)
    for s in np.linspace(-0.5, 0.5, 41):
        x, y = 5 + how["motion"] * s * np.cos(how["way"]), 5 + how["motion"] * s * np.sin(how["way"])
        i, j, a, b = int(y), int(x), y % 1, x % 1
        path[i:i + 2, j:j + 2] += np.outer([1 - a, a], [1 - b, b])
    light = cv2.filter2D(light, -1, path / path.sum())
noise = np.random.default_rng(how["seed"]).normal(size=light.shape).astype(np.float32)
light += noise * how["noise"] * np.sqrt(np.clip(light, 0, 2) * 0.6 + 0.02)
light = np.clip(cv2.bilateralFilter(np.clip(light, 0, 1.2), 5, how["noise"] * 2.5, 1.0), 0, 1)

coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.power(np.maximum(light, 1e-6), 1 / 2.4) - 0.055)  # IEC 61966-2-1
coded += how["tone"] * (coded * coded * (3 - 2 * coded) - coded)
coded += how["sharpening"] * (coded - cv2.GaussianBlur(coded, (0, 0), 1.3))
cv2.imwrite(name + ".jpg", (np.clip(coded, 0, 1) * 255 + 0.5).astype(np.uint8), [cv2.IMWRITE_JPEG_QUALITY, how["quality"]])
if how["exif"]:
    subprocess.run(["exiftool", "-q", "-overwrite_original", "-FocalLengthIn35mmFormat=%d" % how["exif"], "-Model=Invented phone", name + ".jpg"], check=True)
os.remove(name + ".exr")
