"""Still pictures of 1920 by 1080 for a video, from the same data as the site."""
