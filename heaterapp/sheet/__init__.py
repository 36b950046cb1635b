"""Report to small pieces of HTML and to drawings; standard library only, on the server and on the phone."""
