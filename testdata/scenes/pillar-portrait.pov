// The tractor cab's pillar trim, the phone held upright: the file is stored on
// its side with Exif orientation 6, and the square lies at a slant. The square
// was printed a little small, and the callipers say so.
#include "photo.inc"
#declare About = "invented: a tractor cab's pillar trim, three holes, phone held upright, square printed small, tilted 6 degrees";
#declare Args = "\"--square-size\",\"59.7x60.2\"";
#declare Paper = 0.1;
#declare Photo_width = 3024;
#declare Photo_height = 4032;
#declare Orientation = 6;
#declare Exif_model = "Test camera 2";
#declare Seed = 113;
#declare Focal_35 = 25.7;
#declare Tint = <1.03, 1, 0.93>;
#include "panel.inc"

Camera(<40, 34, 0>, 370, 6, 60, 62)
Lamp(280, 50, 130, <1, 0.97, 0.92>*0.85)
Room_light(60, <0.95, 0.98, 1>*0.16)

Plastic(<0.16, 0.15, 0.14>, 0.25, 0.05)
Outline(array[6] {<-60, -62>, <96, -66>, <190, -10>, <186, 84>, <96, 118>, <-56, 72>}, 18, 9)
Grille(<92, 30>, 47.3, 0, 0)
Mounting_hole(<56.4, 12.7>, 4.4)
Mounting_hole(<110.6, 64.9>, 4.4)
Mounting_hole(<121.3, -1.8>, 4.4)

Stray_hole(<160, 60>, 8)
Stray_hole(<44, 62>, 3)
Window(<80, -48>, 16, 6, 0)
Window(<52, 86>, 16, 6, 18)
Post(<152, -14>, 6, 8)
Post(<66, 60>, 4.4, 4)
Rib(<142, 10>, <172, 30>, 1.5, 5)
Panel()

Mesh(<92, 30>, 49, 0.9, 1.6, 1.05, 17, <0.05, 0.05, 0.05>)
Cloth(<92, 30>, 49, 4, <0.015, 0.015, 0.015>)
Square(13, 59.7, 60.2, <0, 0>, 0)
Bench(16, Mat(<0.38, 0.38, 0.40>))
Write_truth()
