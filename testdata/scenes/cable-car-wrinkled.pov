// The cable car's panel; the square's paper has been folded and does not lie flat.
#include "photo.inc"
#declare About = "invented: a cable car's cabin panel in grey plastic, three holes, the square's paper wrinkled up to 0.9 mm, tilted 8 degrees";
#declare Args = "\"--holes\",\"3\"";
#declare Seed = 164;
#declare Photo_width = 2592;
#declare Photo_height = 1944;
#declare Focal_35 = 25.6;
#declare Antialias = 0.02;
#declare Sharpening = 0.5;
#declare Quality = 87;
#include "panel.inc"
#include "wear.inc"

Camera(<-6, 54, 0>, 277, 8, 230, 84)
Lamp(200, 42, 50, <1.0, 0.97, 0.93>*0.95)
Room_light(20, <0.93, 0.97, 1.0>*0.20)

Plastic(<0.24, 0.25, 0.25>, 0.3, 0.02)
Dusty(<0.45, 0.44, 0.42>, 0.3, 45)
Outline(array[5] {<-82, -54>, <64, -54>, <76, 60>, <62, 164>, <-84, 164>}, 14, 6)
Grille(<-14, 92>, 64, 0, 0)
Mounting_hole(<-58.2, 104.4>, 4.2)
Mounting_hole(<30.6, 107.8>, 4.2)
Mounting_hole(<-12.3, 142.7>, 4.2)
Rib(<48, -36>, <48, 70>, 1.5, 5)
Rib(<-64, 64>, <-64, 10>, 1.5, 5)
Stray_hole(<52, 140>, 7)
Stray_hole(<-66, -36>, 3)
Slot(<-64, 146>, 14, 5, 60)
Post(<58, 90>, 5, 5)
Clip_tower(<60, 20>, 16, 8, 7, 90)
Panel()

Mesh(<-14, 92>, 66, 1.3, 2.6, 1.8, 9, <0.06, 0.06, 0.06>)
Cloth(<-14, 92>, 66, 4, <0.02, 0.02, 0.02>)
Crumbs(<-78, -50>, <60, 158>, 60, 0.12, 0.8, <0.40, 0.37, 0.30>, 16)
Wavy_square(32, 60, 60, 46, 0.9, 25)
Bench(13, Boards(<0.42, 0.29, 0.17>, 142))
Write_truth()
