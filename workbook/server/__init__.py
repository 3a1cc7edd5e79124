"""The learner's folder and its pages, the kernel, and the server they are opened in."""
