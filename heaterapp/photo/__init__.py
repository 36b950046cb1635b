"""A photo as a phone sent it, made into one that can be kept: upright, small, nothing in it but the picture.

    tidied(body) -> Tidied     any thread may call; the picture is opened in a process of its own
    logo(body) -> bytes        the same, small enough for the head of a paper
    shutdown()                 stop those processes; done at exit by itself

body     the bytes that came, JPEG or PNG by their first bytes whatever they are called, at most 20 MB and
         25 megapixels; the size is read from the header before anything is unpacked
returns  a baseline sRGB JPEG without metadata, long side at most 1600 pixels, turned as the camera said;
         the same bytes for the same body
raises   NotAPhoto       `code` is "not_a_photo", "heic", "too_large" or "damaged"; its text is for a person
         DarkroomFailed  the process could not be started or got no time: nothing is known of the photo; later

Limits: 25 megapixels are twice what phones of 2026 take by default (common practice); most that a process may
hold is 300 MB; after 2.5 s over one photo it is killed.
"""

from .darkroom import DarkroomFailed, Tidied, shutdown, tidied
from .emblem import logo
from .header import LONGEST_SIDE, MOST_BYTES, MOST_PIXELS, NotAPhoto

__all__ = [
    "LONGEST_SIDE",
    "MOST_BYTES",
    "MOST_PIXELS",
    "DarkroomFailed",
    "NotAPhoto",
    "Tidied",
    "logo",
    "shutdown",
    "tidied",
]
