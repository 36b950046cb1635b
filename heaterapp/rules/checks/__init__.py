"""The checks: one short file each, in the folder of its topic. A file here is a check; no list is kept."""
