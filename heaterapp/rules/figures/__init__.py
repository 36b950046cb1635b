"""The figures, one subject a module. A `figure` declared here is in the report whenever it can be computed."""
