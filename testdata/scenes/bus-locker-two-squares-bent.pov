// The lid panel of an overhead locker in an invented coach, with two squares
// 216 mm apart, the holes and the grille between them. The lens is no pinhole: it
// draws the corners in.
#include "photo.inc"
#declare About = "invented: a coach's overhead locker panel in warm grey plastic, four holes, two squares 216 mm apart, barrel distortion, tilted 8 degrees";
#declare Lens_k1 = -0.05;
#declare Photo_width = 2880;
#declare Photo_height = 2160;
#declare Exif_model = "Test camera 4";
#declare Seed = 142;
#declare Focal_35 = 30.7;
#declare Tint = <1.02, 1, 0.96>;
#include "panel.inc"

Camera(<106, 16, 0>, 385, 8, 120, 2)
Lamp(75, 52, 140, <1, 0.98, 0.94>*0.82)
Room_light(220, <0.95, 0.98, 1>*0.17)

Plastic(<0.36, 0.33, 0.29>, 0.3, 0.04)
Outline(array[7] {<-62, -70>, <272, -70>, <288, -44>, <284, 92>, <262, 112>, <-48, 108>, <-66, 82>}, 14, 8)
Grille(<108, 12>, 61.4, 0, 0)
Mounting_hole(<66.5, 44.2>, 4.8)
Mounting_hole(<149.3, 46.1>, 4.8)
Mounting_hole(<147.8, -21.7>, 4.8)
Mounting_hole(<68.4, -23.0>, 4.8)

Stray_hole(<-36, 84>, 7)
Stray_hole(<256, 88>, 3.2)
Slot(<108, -56>, 18, 5, 0)
Window(<40, 92>, 20, 6, 0)
Window(<176, 94>, 20, 6, 0)
Post(<240, -52>, 6, 6)
Post(<108, 76>, 4.8, 4)
Rib(<-30, -56>, <40, -56>, 1.6, 5)
Panel()

Mesh(<108, 12>, 63, 1.2, 2.2, 1.5, 19, <0.05, 0.05, 0.05>)
Cloth(<108, 12>, 63, 4, <0.015, 0.015, 0.015>)
Square(22, 60, 60, <0, 0>, 0)
Square(23, 60, 60, <215.85, 8.05>, 14)
Bench(18, Mat(<0.40, 0.39, 0.37>))
Write_truth()
